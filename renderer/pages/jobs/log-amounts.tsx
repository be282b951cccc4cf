import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { DrawnProduct } from '../../../shared/contract/jobs-drawn.ts';
import { isCarriedOn, meteredVolumes } from '../../held-words.ts';
import { isMixed } from '../../paper/card-words.ts';
import { Choice } from '../../parts/choice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { BatchInput } from './batch-input.tsx';
import type { Rest } from './job-words.ts';
import { batchesNamed, type LogDraft } from './log-draft.ts';
import { OutOfStore } from './out-of-store.tsx';

type Props = {
	readonly card: LoadCard;
	readonly rest: Rest['products'];
	readonly draft: LogDraft;
	/** Out of what it would be drawn. */
	readonly ahead: readonly DrawnProduct[];
	readonly onChange: (part: Partial<LogDraft>) => void;
};

const intoWords: Readonly<Partial<Record<LoadCard['kind'], string>>> = {
	granules: 'Out of the hopper',
	'seed treatment': 'Onto the seed',
	'closed space': 'Into the applicator',
};

/** What went into the tank: as planned, or product by product. */
export function LogAmounts({ card, rest, draft, ahead, onChange }: Props) {
	const farmUnits = useUnits();
	const lines = card.order.map((line) => ({
		...line,
		now: rest.find(({ productId }) => productId === line.productId)?.amount ?? line.amount,
	}));
	const goneOn = rest.some(({ before }) => before > 0);
	const stop = card.fill?.meterStops.at(-1)?.atMeterL ?? meteredVolumes(card.plan).waterL;
	return (
		<>
			<h2>{intoWords[card.kind] ?? 'Into the tank'}</h2>
			<Choice
				legend={<span className="visually-hidden">What went in</span>}
				value={draft.amounts}
				onChange={(amounts) => onChange({ amounts })}
				options={[
					{
						value: 'as planned',
						label: goneOn ? 'As planned: nothing more after the stop' : 'As planned',
						detail: isCarriedOn(card.plan)
							? 'nothing: the mix was in the tank already'
							: lines.map((line) => `${line.name} ${farmUnits.amount(line.now, line.unit)}`).join(' · '),
					},
					{ value: 'entered', label: 'Actual amounts', detail: 'read off the containers, product by product' },
				]}
			/>
			{draft.amounts === 'entered' && (
				<div className="log-lines roomy">
					{lines.map((line) => (
						<div key={line.productId} className="log-product">
							<QuantityInput
								label={line.name}
								unit={line.unit}
								description={`planned ${farmUnits.amount(line.now, line.unit)}`}
								required
								min={0}
								value={draft.poured[line.productId] ?? null}
								onChange={(value) => onChange({ poured: { ...draft.poured, [line.productId]: value } })}
							/>
							<BatchInput
								productId={line.productId}
								product={line.name}
								named={batchesNamed(line)}
								value={draft.batches[line.productId] ?? ''}
								onChange={(text) => onChange({ batches: { ...draft.batches, [line.productId]: text } })}
							/>
						</div>
					))}
				</div>
			)}
			<OutOfStore card={card} ahead={ahead} />
			{card.seed && (
				<div className="log-lines roomy">
					<QuantityInput
						label="Seed treated"
						unit={card.seed.unit === 'unit' ? 'units' : card.seed.unit}
						description={
							draft.stopped
								? 'up to the stop'
								: `planned ${farmUnits.figure(card.plan.seed, card.seed.unit)}; empty: as planned`
						}
						required={draft.stopped}
						min={0.001}
						value={draft.quantity}
						onChange={(value) => onChange({ quantity: value })}
					/>
					{card.plan.slurryL !== undefined && (
						<QuantityInput
							label="Water of the slurry"
							unit="L"
							description={
								draft.stopped
									? 'that went onto the seed; empty: its share'
									: `planned ${farmUnits.amount(card.plan.waterL, 'L')}; empty: as planned`
							}
							min={0}
							value={draft.meteredL}
							onChange={(meteredL) => onChange({ meteredL })}
						/>
					)}
				</div>
			)}
			{isMixed(card) && !isCarriedOn(card.plan) && (
				<div className="log-lines roomy">
					<QuantityInput
						label={card.carrier ? 'Metered fertiliser' : 'Metered water'}
						unit="L"
						description={
							goneOn ? 'after the stop' : `the card says stop at ${farmUnits.litres(stop)}; empty if not read`
						}
						min={0}
						value={draft.meteredL}
						onChange={(meteredL) => onChange({ meteredL })}
					/>
				</div>
			)}
		</>
	);
}
