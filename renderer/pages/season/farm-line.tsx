import { figure } from '../../format.ts';
import { Facts } from '../../parts/page.tsx';
import type { Reconciliation } from './measures-page.tsx';

/** The whole farm in two figures: store against tank, tank against ground, over all products. */
export function FarmLine({ farm }: { readonly farm: Reconciliation['farm'] }) {
	const { storeToTank, storeToTankSigma, tankToGround, tankToGroundSigma, productsCounted, confirmedLoads, loads } =
		farm;
	return (
		<section aria-label="The farm’s line">
			<h2>All products together</h2>
			<Facts
				items={[
					['Left the store, against the tanks', ratioWords(storeToTank, storeToTankSigma)],
					['Went into tanks, against the ground', ratioWords(tankToGround, tankToGroundSigma)],
					['Products counted twice', figure(productsCounted)],
					['Pours entered as they were', `${figure(confirmedLoads)} of ${figure(loads)}`],
				]}
			/>
			<p className="quiet small">
				The first two are means over the products, each weighed by how well it is measured, and no sums of amounts.
			</p>
			{confirmedLoads < loads && (
				<p className="quiet small">
					{loads - confirmedLoads === 1
						? 'One of the pours was taken over from the plan: it proves nothing.'
						: `${figure(loads - confirmedLoads)} of the pours were taken over from the plan: they prove nothing.`}
				</p>
			)}
		</section>
	);
}

/** `0.3 % less, ± 0.1 %` at twice the standard error, or `equal within ± 0.1 %`. */
function ratioWords(ratio: number | null, sigma: number | null): string {
	if (ratio === null) return 'not known yet';
	const percent = 100 * (ratio - 1);
	const spread = sigma === null ? null : 200 * sigma;
	if (spread !== null && Math.abs(percent) <= spread) return `equal within ± ${figure(spread, 2)} %`;
	const around = spread === null ? '' : `, ± ${figure(spread, 2)} %`;
	return `${figure(Math.abs(percent), 2)} % ${percent > 0 ? 'more' : 'less'}${around}`;
}
