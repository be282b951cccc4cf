import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { amount, litres } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { BatchInput } from './batch-input.tsx';
import type { Rest } from './job-words.ts';
import type { LogDraft } from './log-draft.ts';

type Props = {
	readonly card: LoadCard;
	readonly rest: Rest['products'];
	readonly draft: LogDraft;
	readonly onChange: (part: Partial<LogDraft>) => void;
};

/** What went into the tank: as planned, or product by product. */
export function LogAmounts({ card, rest, draft, onChange }: Props) {
	const lines = card.order.map((line) => ({
		...line,
		now: rest.find(({ productId }) => productId === line.productId)?.amount ?? line.amount,
	}));
	const goneOn = rest.some(({ before }) => before > 0);
	const stop = card.fill?.meterStops.at(-1)?.atMeterL ?? card.plan.waterL;
	return (
		<>
			<h2>Into the tank</h2>
			<Choice
				legend={<span className="visually-hidden">What went into the tank</span>}
				value={draft.amounts}
				onChange={(amounts) => onChange({ amounts })}
				options={[
					{
						value: 'as planned',
						label: goneOn ? 'As planned: nothing more after the stop' : 'As planned',
						detail: lines.map((line) => `${line.name} ${amount(line.now, line.unit)}`).join(' · '),
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
								description={`planned ${amount(line.now, line.unit)}`}
								required
								min={0}
								value={draft.poured[line.productId] ?? null}
								onChange={(value) => onChange({ poured: { ...draft.poured, [line.productId]: value } })}
							/>
							<BatchInput
								productId={line.productId}
								product={line.name}
								value={draft.batches[line.productId] ?? ''}
								onChange={(text) => onChange({ batches: { ...draft.batches, [line.productId]: text } })}
							/>
						</div>
					))}
				</div>
			)}
			<div className="log-lines roomy">
				<QuantityInput
					label="Metered water"
					unit="L"
					description={goneOn ? 'after the stop' : `the card says ${litres(stop)}; empty if not read`}
					min={0}
					value={draft.meteredL}
					onChange={(meteredL) => onChange({ meteredL })}
				/>
			</div>
		</>
	);
}
