import type { Api } from '../../api.ts';
import { figure, shortDate, signed } from '../../format.ts';
import { usePictureWidth } from '../../pictures/use-width.ts';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

type Counted = Awaited<ReturnType<Api['store']['counts']>>[number];
type Count = Omit<Counted, 'unit'> & { readonly unit: string };

const HEIGHT = 150;
const EDGE = { top: 24, bottom: 48, side: 44 };
const MOST = 8;

/** Counted − book of one product over its stock takes, in one store where it is named: a dot each, and how far measuring alone may put it off. */
export function CountCourse({ productId, storeId }: { readonly productId: string; readonly storeId?: string }) {
	const { name, value } = useUnits();
	const asked = useProcedure(['store', 'counts', productId], (api) => api.store.counts({ productId }));
	const own = (asked.answer ?? []).filter((count) => storeId === undefined || count.storeId === storeId);
	const counts = own
		.slice(0, MOST)
		.reverse()
		.map((count) => ({
			...count,
			difference: value(count.difference, count.unit),
			likelySize: value(count.likelySize, count.unit),
			unit: name(count.unit),
		}));
	if (counts.length < 2) return null;
	return (
		<>
			<h2>Shelf against book, count by count</h2>
			<Picture counts={counts} />
		</>
	);
}

function Picture({ counts }: { readonly counts: readonly Count[] }) {
	const { ref, width } = usePictureWidth(undefined, 380);
	const most = Math.max(
		...counts.map(({ difference, likelySize }) => Math.max(Math.abs(difference), likelySize)),
		0.001,
	);
	const middle = (EDGE.top + HEIGHT - EDGE.bottom) / 2;
	const scale = (middle - EDGE.top) / most;
	const step = (width - 2 * EDGE.side) / Math.max(1, counts.length - 1);
	const unit = counts[0]?.unit ?? '';
	const words = counts.map((count) => `${shortDate(count.on)} ${signed(count.difference, 2)} ${unit}`).join(', ');
	return (
		<div ref={ref}>
			<svg className="picture" viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={`Counted less book: ${words}`}>
				<line x1={0} x2={width} y1={middle} y2={middle} stroke="var(--rule-strong)" />
				{counts.map((count, index) => {
					const x = EDGE.side + index * step;
					const y = middle - count.difference * scale;
					const band = Math.max(1, count.likelySize * scale);
					const beyond = Math.abs(count.difference) > count.likelySize;
					return (
						<g key={count.id}>
							<rect x={x - 9} width={18} y={middle - band} height={2 * band} fill="var(--rule)" />
							<line x1={x} x2={x} y1={middle} y2={y} stroke="var(--damson)" strokeWidth={2} />
							<circle
								cx={x}
								cy={y}
								r={4}
								fill={beyond ? 'var(--damson)' : 'var(--paper)'}
								stroke="var(--damson)"
								strokeWidth={2}
							/>
							<text
								x={x}
								y={count.difference < 0 ? y + 18 : y - 9}
								textAnchor="middle"
								fontSize={13}
								fontWeight={beyond ? 700 : 400}
							>
								{count.difference === 0 ? figure(0) : signed(count.difference, 2)}
							</text>
							<text className="t" x={x} y={HEIGHT - 6} textAnchor="middle" fontSize={12}>
								{shortDate(count.on).replace(/ \d{4}$/, (year) => ` ’${year.slice(3)}`)}
							</text>
						</g>
					);
				})}
			</svg>
			<p className="quiet small">
				{unit} counted more or less than the book said; the band is what measuring alone explains.
			</p>
		</div>
	);
}
