import { Button, TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import type { CountPart, TakeLine } from '../../../shared/contract/stock-take.ts';
import { countEntry } from '../../../shared/core/store/count-entry.ts';
import { bareAmount, count, timeOfDay } from '../../format.ts';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { disagreements } from './counted-twice.ts';
import { size } from './stock-words.ts';
import { STORE_PLACES, StorePlaces } from './store-places.tsx';

type Part = {
	readonly size: number;
	readonly how: 'level' | 'weighed';
	readonly amount: number | null;
	readonly grossKg: number | null;
	readonly tareKg: number | null;
};
type Entry = { readonly full: { size: number; count: number }[]; readonly parts: CountPart[] };

/** The counter stays the same from product to product, and so does the place until another is written. */
const kept = { by: '', place: '' };

/** What stands there of one product: full containers by size, opened ones by level or by scale. Enter goes to the next. */
export function CountEntryForm(props: {
	readonly takeId: string;
	readonly storeId: string;
	readonly line: TakeLine;
	readonly onEntered: () => void;
}) {
	const farmUnits = useUnits();
	const { line } = props;
	const usual = useUsualOperator();
	const [by, setBy] = useState(kept.by || usual);
	const [place, setPlace] = useState(line.place || kept.place);
	const [full, setFull] = useState<Readonly<Record<string, number | null>>>({});
	const [parts, setParts] = useState<readonly Part[]>([emptyPart(line)]);
	const frame = useRef<HTMLDivElement>(null);
	const entry = entryOf(line, full, parts);
	const read = entry && countEntry(line, { ...entry, parts: entry.parts.map(withStep) });
	const enter = useCommand(
		(api, sent: Entry, key) =>
			api.store.enterCount({ key, takeId: props.takeId, productId: line.productId, by, place, ...sent }),
		() => {
			kept.by = by;
			kept.place = place;
			props.onEntered();
		},
	);
	useEffect(() => frame.current?.querySelector<HTMLInputElement>('.first-entry input')?.focus(), []);
	const change = (at: number, to: Partial<Part>) =>
		setParts(parts.map((part, index) => (index === at ? { ...part, ...to } : part)));

	return (
		<div ref={frame}>
			<EntryForm
				command={enter}
				onSubmit={() => entry && enter.run(entry)}
				foot={
					<>
						<Button variant="default" onClick={() => enter.run({ full: [], parts: [] })} disabled={entry !== null}>
							None there
						</Button>
						<Button type="submit" loading={enter.busy} disabled={entry === null}>
							{read?.ok ? `Enter ${farmUnits.amount(Number(read.value.counted.toFixed(3)), line.unit)}` : 'Enter'}
						</Button>
					</>
				}
			>
				<div>
					<h1>{line.name}</h1>
					<p className="quiet">{line.formulation}</p>
				</div>
				<div className="pair first-entry">
					{line.packSizes.map((each) => (
						<QuantityInput
							key={each}
							label={`Full ${farmUnits.say(`${size(each)} ${line.unit}`)}`}
							value={full[String(each)] ?? null}
							onChange={(many) => setFull({ ...full, [String(each)]: many })}
							whole
							min={0}
							placeholder="0"
						/>
					))}
				</div>
				{parts.map((part, index) => (
					// biome-ignore lint/suspicious/noArrayIndexKey: opened containers have no name of their own
					<PartLine key={index} line={line} part={part} onChange={(to) => change(index, to)} />
				))}
				<div>
					<Button variant="subtle" size="xs" onClick={() => setParts([...parts, emptyPart(line)])}>
						Another opened one
					</Button>
				</div>
				<div className="pair">
					<TextInput
						label="Place"
						placeholder="Shelf 2"
						maxLength={60}
						list={STORE_PLACES}
						value={place}
						onChange={(event) => setPlace(event.currentTarget.value)}
					/>
					<StorePlaces storeId={props.storeId} />
					<ByInput value={by} onChange={setBy} label="Counted by" />
				</div>
			</EntryForm>
			<Earlier line={line} />
		</div>
	);
}

const ways = [
	{ value: 'level', label: 'by its level' },
	{ value: 'weighed', label: 'on a scale' },
] as const;

function PartLine(props: {
	readonly line: TakeLine;
	readonly part: Part;
	readonly onChange: (to: Partial<Part>) => void;
}) {
	const farmUnits = useUnits();
	const { line, part, onChange } = props;
	const canWeigh = line.unit === 'kg' || line.relativeDensity !== null;
	return (
		<fieldset className="group">
			<legend className="entry-label">Opened one</legend>
			<div className={part.how === 'level' ? 'part-line' : 'part-line scale'}>
				<Pick
					label="of"
					options={line.packSizes.map((each) => ({
						value: String(each),
						label: farmUnits.say(`${size(each)} ${line.unit}`),
					}))}
					value={String(part.size)}
					onChange={(chosen) => chosen && onChange({ size: Number(chosen) })}
				/>
				<Pick
					label="read"
					options={canWeigh ? ways : ways.slice(0, 1)}
					value={part.how}
					onChange={(how) => how && onChange({ how })}
				/>
				{part.how === 'level' ? (
					<QuantityInput
						label="left in it"
						unit={line.unit}
						value={part.amount}
						onChange={(left) => onChange({ amount: left })}
						min={0}
					/>
				) : (
					<>
						<QuantityInput
							label="full weight"
							unit="kg"
							value={part.grossKg}
							onChange={(grossKg) => onChange({ grossKg })}
							min={0}
						/>
						<QuantityInput
							label="empty one"
							unit="kg"
							value={part.tareKg}
							onChange={(tareKg) => onChange({ tareKg })}
							min={0}
						/>
					</>
				)}
			</div>
		</fieldset>
	);
}

/** What was entered so far, by whom; what was counted again at the same place no longer stands. */
function Earlier({ line }: { readonly line: TakeLine }) {
	const farmUnits = useUnits();
	if (line.entries.length === 0) return null;
	return (
		<>
			{disagreements(line).map(({ place, stands, other }) => (
				<div className="notice above" role="status" key={place}>
					<span className="word">Look</span>
					<div>
						{place || 'The same place'} was counted by two people: {farmUnits.amount(other.amount, line.unit)} by{' '}
						{other.by}, {farmUnits.amount(stands.amount, line.unit)} by {stands.by}. The later one stands until it is
						counted again.
					</div>
				</div>
			))}
			<h2>{count(line.entries.length, 'entry', 'entries')} so far</h2>
			<ul className="plain-list">
				{line.entries.map((entry) => (
					<li key={`${entry.at} ${entry.place}`} className={entry.stands ? undefined : 'quiet'}>
						{farmUnits.units === 'metric'
							? `${bareAmount(entry.amount)} ${line.unit}`
							: farmUnits.amount(entry.amount, line.unit)}{' '}
						by {entry.by}, {timeOfDay(entry.at)}
						{entry.place && `, ${entry.place}`}
						{!entry.stands && ' · counted again'}
					</li>
				))}
			</ul>
			<p className="quiet small above-small">
				An entry at another place is added; one at the same place replaces the one before.
			</p>
		</>
	);
}

function emptyPart(line: TakeLine): Part {
	return { size: Math.max(...line.packSizes), how: 'level', amount: null, grossKg: null, tareKg: null };
}

function withStep(part: CountPart) {
	return part.how === 'level' ? part : { ...part, scaleStepKg: part.scaleStepKg ?? 0.1 };
}

/** What is sent; null until something was written. */
function entryOf(line: TakeLine, full: Readonly<Record<string, number | null>>, drafts: readonly Part[]): Entry | null {
	const packs = line.packSizes.flatMap((each) => {
		const many = full[String(each)] ?? null;
		return many === null ? [] : [{ size: each, count: many }];
	});
	const parts = drafts.flatMap((part): CountPart[] => {
		if (part.how === 'level') {
			return part.amount === null ? [] : [{ how: 'level', size: part.size, amount: part.amount }];
		}
		if (part.grossKg === null || part.tareKg === null) return [];
		return [{ how: 'weighed', size: part.size, grossKg: part.grossKg, tareKg: part.tareKg }];
	});
	return packs.length + parts.length === 0 ? null : { full: packs, parts };
}
