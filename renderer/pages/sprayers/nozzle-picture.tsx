import { figure } from '../../format.ts';
import { usePictureWidth } from '../../pictures/use-width.ts';

type Nozzle = {
	readonly lPerMin: number;
	readonly fromMeanPercent: number;
	readonly fromNominalPercent: number | null;
	readonly verdict: 'ok' | 'warn' | 'fail';
};

const HEIGHT = 150;
const BASE = 112;

/** The boom from left to right, each nozzle against the mean: those to look at or to change carry a sign and their number. */
export function NozzlePicture({ nozzles }: { readonly nozzles: readonly Nozzle[] }) {
	const { ref, width } = usePictureWidth(undefined, 640);
	const step = (width - 44) / Math.max(nozzles.length, 1);
	const worst = Math.max(12, ...nozzles.map((nozzle) => Math.abs(nozzle.fromMeanPercent)));
	const middle = BASE / 2 + 8;
	const y = (percent: number) => middle - (percent / worst) * (BASE / 2 - 10);
	const bad = nozzles
		.map((nozzle, index) => ({ nozzle, number: index + 1 }))
		.filter(({ nozzle }) => nozzle.verdict !== 'ok');
	const colour = { ok: 'var(--water)', warn: 'var(--straw)', fail: 'var(--brick)' };
	return (
		<div ref={ref}>
			<svg className="picture" viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={said(nozzles.length, bad)}>
				{[-5, 0, 5].map((percent) => (
					<g key={percent}>
						<path
							d={`M44 ${y(percent)}H${width}`}
							stroke={percent === 0 ? 'var(--ink)' : 'var(--rule-strong)'}
							strokeDasharray={percent === 0 ? undefined : '3 3'}
						/>
						<text className="t" x="38" y={y(percent) + 4} fontSize="12" textAnchor="end">
							{percent === 0 ? 'mean' : `${percent > 0 ? '+' : '−'}5 %`}
						</text>
					</g>
				))}
				{nozzles.map((nozzle, index) => {
					const x = 44 + (index + 0.5) * step;
					return (
						// biome-ignore lint/suspicious/noArrayIndexKey: a nozzle is its place on the boom
						<g key={index}>
							<path
								d={`M${x} ${y(0)}V${y(nozzle.fromMeanPercent)}`}
								stroke={colour[nozzle.verdict]}
								strokeWidth={Math.max(2, Math.min(9, step * 0.5))}
							/>
							{nozzle.verdict !== 'ok' && (
								<text x={x} y={HEIGHT - 22} fontSize="12" fontWeight="700" textAnchor="middle">
									{nozzle.verdict === 'fail' ? '×' : '!'}
									{index + 1}
								</text>
							)}
						</g>
					);
				})}
			</svg>
			<p>{said(nozzles.length, bad)}</p>
		</div>
	);
}

function said(many: number, bad: readonly { readonly nozzle: Nozzle; readonly number: number }[]): string {
	if (bad.length === 0) return `All ${many} nozzles are within 5 % of the mean.`;
	const fail = bad.filter(({ nozzle }) => nozzle.verdict === 'fail');
	const warn = bad.filter(({ nozzle }) => nozzle.verdict === 'warn');
	const list = (group: typeof bad) =>
		group.map(({ nozzle, number }) => `${number} (${figure(nozzle.lPerMin, 2)} L/min)`).join(', ');
	const nozzles = (group: typeof bad) => `nozzle${group.length === 1 ? '' : 's'} ${list(group)}.`;
	return [fail.length > 0 ? `Change ${nozzles(fail)}` : '', warn.length > 0 ? `Look at ${nozzles(warn)}` : '']
		.filter((part) => part !== '')
		.join(' ');
}
