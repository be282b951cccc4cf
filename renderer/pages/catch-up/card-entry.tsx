import { Button, Checkbox, TextInput } from '@mantine/core';
import { bareAmount, litres, shortDate, today } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { InFlower } from '../../parts/in-flower.tsx';
import { MarginInputs } from '../../parts/margin-inputs.tsx';
import { type MarginRow, marginsOnFields } from '../../parts/margin-rows.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useAsksWithin30M } from '../../parts/use-asks-within-30-m.ts';
import { BatchInput } from '../jobs/batch-input.tsx';
import { spanOf } from '../jobs/local-time.ts';
import { type CardRow, type FoundCard, farFromPlan, unconfirmed } from './card-row.ts';

type Props = {
	readonly row: CardRow;
	/** Its own, or those of a card of the same job above it. */
	readonly margins: readonly MarginRow[];
	/** What keeps it from being logged, once that is to be said. */
	readonly trouble: string | null;
	readonly onChange: (part: Partial<CardRow>) => void;
	/** The code was left: its load is looked up. */
	readonly onCode: () => void;
};

/** One paper card: its code, its times, what went in. */
export function CardEntry({ row, margins, trouble, onChange, onCode }: Props) {
	const { card } = row;
	const may = card?.state === 'to do' || card?.state === 'broken off';
	const begun = row.code.trim() !== '';
	return (
		<fieldset className="card-row" data-card={row.key}>
			<legend className="visually-hidden">{card ? `${card.job}, load ${card.load}` : 'A card'}</legend>
			<div className="card-when">
				<TextInput
					label="Code"
					className="card-code"
					placeholder="on the card"
					autoComplete="off"
					spellCheck={false}
					maxLength={20}
					data-code
					value={row.code}
					onChange={(event) =>
						onChange({ code: event.currentTarget.value.toUpperCase(), card: null, problem: null, margins: null })
					}
					onBlur={onCode}
				/>
				{begun && <When row={row} onChange={onChange} />}
			</div>
			{card && <Which card={card} row={row} />}
			{card && may && <Amounts card={card} row={row} onChange={onChange} />}
			{card && may && card.distances.length > 0 && (
				<Margins
					card={card}
					rows={margins}
					isOwn={row.margins !== null}
					onChange={(now) => onChange({ margins: now })}
				/>
			)}
			{farFromPlan(row).map((words) => (
				<p key={words} className="card-trouble" role="status">
					<span className="chip">read again</span> {words}.
				</p>
			))}
			{trouble !== null && (
				<div className="card-trouble" role="alert">
					<span className="chip stop">not logged</span>
					<span>{trouble}</span>
					{row.offersShort && (
						<Checkbox
							label="The tank is right: log it as short"
							checked={row.short}
							onChange={(event) => onChange({ short: event.currentTarget.checked })}
						/>
					)}
				</div>
			)}
		</fieldset>
	);
}

function When({ row, onChange }: Pick<Props, 'row' | 'onChange'>) {
	const { overnight } = spanOf(row.date || '2000-01-01', row.began, row.ended);
	return (
		<>
			<TimeInput label="Began" placeholder="0710" value={row.began} onChange={(began) => onChange({ began })} />
			<TimeInput
				label={overnight && row.ended !== '' ? 'Ended, next day' : 'Ended'}
				value={row.ended}
				onChange={(ended) => onChange({ ended })}
			/>
			<DateInput
				label={dateLabel(row.date, row.card?.date)}
				value={row.date === '' ? null : row.date}
				onChange={(date) => onChange({ date: date ?? '' })}
			/>
			<TextInput
				label="Operator"
				maxLength={200}
				autoComplete="off"
				value={row.operator}
				onChange={(event) => onChange({ operator: event.currentTarget.value })}
			/>
			{row.card?.waterL !== null && (
				<QuantityInput
					label={meteredLabels[row.card?.kind ?? 'spray in water'] ?? 'Metered water'}
					unit="L"
					min={0}
					placeholder={row.card ? `card ${litres(row.card.waterL)}` : ''}
					value={row.meteredL}
					onChange={(meteredL) => onChange({ meteredL })}
				/>
			)}
		</>
	);
}

const meteredLabels: Readonly<Partial<Record<FoundCard['kind'], string>>> = {
	'spray in liquid fertiliser': 'Metered fertiliser',
	'seed treatment': 'Water',
};

function dateLabel(date: string, planned: string | undefined): string {
	if (date > today()) return 'On (still to come?)';
	return planned !== undefined && date !== planned ? `On (planned ${shortDate(planned)})` : 'On';
}

function Which({ card, row }: { readonly card: FoundCard; readonly row: CardRow }) {
	const open = unconfirmed(row);
	const may = card.state === 'to do' || card.state === 'broken off';
	return (
		<p className="card-which">
			<b>{card.job}</b>
			<span className="quiet">
				{portionWord(card.kind)} {card.load} of {card.loads}
				{card.ends !== '' && `, ${card.ends}`}
				{card.state === 'broken off' && '; it was broken off: this is the rest'}
			</span>
			{may && open.length > 0 && (
				<span className="chip">
					{open.length === card.products.length ? 'as planned, not confirmed' : `not confirmed: ${open.join(', ')}`}
				</span>
			)}
		</p>
	);
}

type AmountProps = Pick<Props, 'row' | 'onChange'> & { readonly card: FoundCard };

function Amounts({ card, row, onChange }: AmountProps) {
	return (
		<div className="card-amounts">
			<Checkbox
				className="card-ticked"
				label="Amounts ticked off on the card"
				checked={row.ticked}
				onChange={(event) => onChange({ ticked: event.currentTarget.checked })}
			/>
			{card.products.map((line) => (
				<div key={line.productId} className="card-product">
					<QuantityInput
						label={line.name}
						unit={line.unit}
						min={0}
						placeholder={`plan ${bareAmount(line.amount)}`}
						value={row.amounts[line.productId] ?? null}
						onChange={(value) => onChange({ amounts: { ...row.amounts, [line.productId]: value } })}
					/>
					<BatchInput
						productId={line.productId}
						product={line.name}
						named={line.named}
						value={row.batches[line.productId] ?? ''}
						onChange={(text) => onChange({ batches: { ...row.batches, [line.productId]: text } })}
					/>
				</div>
			))}
			{card.asksFlowering && <InFlower value={row.flowering} onChange={(flowering) => onChange({ flowering })} />}
		</div>
	);
}

/** The distances kept, asked only where a label of the job asks for one. */
function Margins(props: {
	readonly card: FoundCard;
	readonly rows: readonly MarginRow[];
	/** Keyed on this card. */
	readonly isOwn: boolean;
	readonly onChange: (rows: readonly MarginRow[]) => void;
}) {
	const { card, rows, isOwn, onChange } = props;
	const asksWithin30M = useAsksWithin30M(card.products.map(({ productId }) => productId));
	return (
		<fieldset className="group card-margins">
			<legend className="entry-label">Buffer kept</legend>
			{isOwn || !rows.every(({ said }) => said) ? (
				<>
					<p className="quiet small">{card.distances.join(' ')}</p>
					<MarginInputs rows={rows} fields={card.fields} asksWithin30M={asksWithin30M} onChange={onChange} />
				</>
			) : (
				<p>
					As for the load before: {marginsOnFields(rows, card.fields)}{' '}
					<Button variant="subtle" size="xs" onClick={() => onChange(rows)}>
						Change it here
					</Button>
				</p>
			)}
		</fieldset>
	);
}
