import { ThreeBars } from '../../pictures/three-bars.tsx';
import { useUnits } from '../../units.ts';
import type { ProductBalance } from './measures-page.tsx';

/** Counts that span less than the period compare with less than the whole tank: from this share on it is said. */
const SPANS_LESS = 0.002;

/** The three measures of one product, and in words what they come to. */
export function ProductBars({
	product,
	accused = false,
}: {
	readonly product: ProductBalance;
	readonly accused?: boolean;
}) {
	const { unit, ground, tank, store, tankBetweenCounts, groundSigma, tankSigma, storeSigma, residual } = product;
	const { amount, say } = useUnits();
	const spansLess =
		tankBetweenCounts !== null && Math.abs(tank - tankBetweenCounts) > SPANS_LESS * Math.max(tank, 1e-9);
	const nothingBetween = spansLess && tankBetweenCounts === 0 && !accused;
	return (
		<section className="one-product unbroken" aria-label={product.name}>
			<h3>{product.name}</h3>
			<ThreeBars
				name={product.name}
				unit={unit}
				ground={{ amount: ground, sigma: groundSigma }}
				tank={{ amount: tank, sigma: tankSigma }}
				store={store === null || nothingBetween ? null : { amount: store, sigma: storeSigma }}
				gap={accused && !spansLess && residual !== null ? { between: 'tank-store', amount: residual } : null}
			/>
			<p className="quiet small">
				{nothingBetween
					? 'No load was logged between the counts, so the store says nothing about this period.'
					: say(product.say)}
				{spansLess &&
					!nothingBetween &&
					` Between the counts, which do not span the whole period, ${amount(Number(tankBetweenCounts.toFixed(2)), unit)} went into tanks.`}
			</p>
		</section>
	);
}
