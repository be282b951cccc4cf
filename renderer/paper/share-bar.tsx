const WIDTH = 90;
const HEIGHT = 10;
/** From here on the bar is striped: little is left. */
const NEARLY = 80;
const STRIPE = 4;

/**
 * A share of 100 as a bar that needs no colour: plain up to 80, striped above, and past its end in solid ink where it is
 * over.
 */
export function ShareBar({ share }: { readonly share: number }) {
	const full = WIDTH * 0.8;
	const end = Math.min(WIDTH, (full * share) / 100);
	const stripes = share < NEARLY ? 0 : Math.floor(Math.min(end, full) / STRIPE);
	return (
		<svg className="share-bar" width={WIDTH} height={HEIGHT} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
			<rect x="0.5" y="1.5" width={full - 1} height={HEIGHT - 3} fill="none" stroke="currentColor" strokeWidth="0.8" />
			<rect x="0.5" y="1.5" width={Math.min(end, full)} height={HEIGHT - 3} fill="currentColor" opacity="0.35" />
			{Array.from({ length: stripes }, (_, index) => (
				<line
					// biome-ignore lint/suspicious/noArrayIndexKey: stripes have no other name
					key={index}
					x1={index * STRIPE + 1}
					y1={HEIGHT - 2}
					x2={index * STRIPE + STRIPE}
					y2="2"
					stroke="currentColor"
					strokeWidth="1"
				/>
			))}
			{end > full && <rect x={full} y="0" width={end - full} height={HEIGHT} fill="currentColor" />}
		</svg>
	);
}
