import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { signsOf } from '../../shared/core/products/hazard-signs.ts';
import { HazardSigns } from '../pictures/hazard-sign.tsx';
import { useUnits } from '../units.ts';
import { poursOf, pourWords, underName } from './card-words.ts';
import { Box } from './card-work.tsx';

/** The products in the order they go in, each with its containers to tick and what is to be measured. */
export function CardProducts(props: {
	readonly order: LoadCard['order'];
	readonly orderProblem: string | null;
	/** One line a product, over the whole width, without the reason for its place. */
	readonly flat: boolean;
	/** It goes into a small tank fill by fill: what is measured stands above. */
	readonly byFills: boolean;
}) {
	const units = useUnits();
	return (
		<section className={props.flat ? 'products flat' : 'products'} aria-label="Products in mix order">
			{props.orderProblem !== null && <p className="problem">No order could be given: {props.orderProblem}</p>}
			<ol>
				{props.order.map((line) => (
					<li key={line.productId}>
						<span className="step">{line.step}</span>
						<div className="what">
							<p className="product">
								<strong>{line.name}</strong> <span className="code-letters">{underName(line, units)}</span>{' '}
								<HazardSigns signs={signsOf(line.hazards)} size="1.55em" />
								{!props.flat && line.why !== '' && <span className="why"> {line.why}</span>}
							</p>
							<p className="pours">
								{props.byFills && <span className="pour">measured fill by fill, as above:</span>}
								{poursOf(line, units).map((pour) => (
									<span className="pour" key={pourWords(pour)}>
										{Array.from({ length: pour.boxes }, (_, index) => (
											// biome-ignore lint/suspicious/noArrayIndexKey: boxes are alike
											<Box key={index} />
										))}
										{props.byFills ? pour.text.replace(/^measure (.*)$/, '$1 from one container') : pour.text}
										{pour.batch !== undefined && (
											<>
												, <span className="batch">batch {pour.batch}</span>
											</>
										)}
										{pour.tally && <span className="tally"> tally</span>}
									</span>
								))}
							</p>
						</div>
						<span className="amount">{line.amount > 0 ? units.amount(line.amount, line.unit) : 'in the mix'}</span>
					</li>
				))}
			</ol>
		</section>
	);
}
