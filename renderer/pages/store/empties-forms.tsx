import { Button, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Collection, Empties, RinseWay } from '../../../shared/contract/waste.ts';
import { count, longDate, shortDate, today } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { rinseWays } from './rinse-ways.ts';
import { size } from './stock-words.ts';

type Kind = Collection['lines'][number]['kind'];
type Row = {
	readonly key: string;
	readonly kind: Kind;
	readonly label: string;
	readonly waiting: number | null;
	readonly size?: number;
	readonly unit?: 'L' | 'kg';
};

/** A collection by a licensed contractor: what waits is written in already. */
export function CollectionForm({ empties, onClose }: { readonly empties: Empties; readonly onClose: () => void }) {
	const rows = rowsOf(empties);
	const [pieces, setPieces] = useState<Readonly<Record<string, number | null>>>(() =>
		Object.fromEntries(rows.map(({ key, waiting }) => [key, waiting === 0 ? null : waiting])),
	);
	const [carrier, setCarrier] = useState(empties.collections[0]?.carrier ?? '');
	const [registrationNo, setRegistrationNo] = useState(empties.collections[0]?.registrationNo ?? '');
	const [noteNo, setNoteNo] = useState('');
	const [date, setDate] = useState<string | null>(today());
	const [more, setMore] = useState(false);
	const [by, setBy] = useState(useUsualOperator());
	const lines = rows.flatMap(({ key, kind, size: each, unit }) => {
		const many = pieces[key] ?? 0;
		if (many === 0) return [];
		return [{ kind, pieces: many, ...(each === undefined || unit === undefined ? {} : { size: each, unit }) }];
	});
	const collect = useCommand((api, _: undefined, key) =>
		api.waste.collect({
			...{ key, carrier, registrationNo, noteNo, lines, by, allowMore: more },
			...(date ? { date } : {}),
		}),
	);
	if (collect.answer) {
		return (
			<div className="stack">
				<DoneNotice>The collection is booked. Keep the note until {longDate(collect.answer.keepUntil)}.</DoneNotice>
				<div className="form-foot">
					<Button onClick={onClose} data-autofocus>
						Done
					</Button>
				</div>
			</div>
		);
	}
	return (
		<EntryForm
			command={collect}
			onSubmit={() => collect.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={collect.busy} disabled={lines.length === 0}>
						Book the collection
					</Button>
				</>
			}
		>
			<div className="pair">
				<TextInput
					label="Carrier"
					required
					maxLength={200}
					data-autofocus
					value={carrier}
					onChange={(event) => setCarrier(event.currentTarget.value)}
				/>
				<TextInput
					label="Registration number"
					required
					maxLength={60}
					value={registrationNo}
					onChange={(event) => setRegistrationNo(event.currentTarget.value)}
				/>
			</div>
			<div className="pair">
				<TextInput
					label="Note number"
					required
					maxLength={60}
					value={noteNo}
					onChange={(event) => setNoteNo(event.currentTarget.value)}
				/>
				<DateInput label="Collected on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} label="Handed over by" />
			</div>
			<div className="pair">
				{rows.map((row) => (
					<QuantityInput
						key={row.key}
						label={row.label}
						description={row.waiting === null ? 'kg' : `${row.waiting} waiting`}
						whole
						min={0}
						placeholder="0"
						value={pieces[row.key] ?? null}
						onChange={(many) => setPieces({ ...pieces, [row.key]: many })}
					/>
				))}
			</div>
			{collect.problem?.code === 'waste.moreThanWaiting' && (
				<Checkbox
					label="More were there than the book has"
					checked={more}
					onChange={(event) => setMore(event.currentTarget.checked)}
				/>
			)}
		</EntryForm>
	);
}

/** What can be handed over: containers that wait, rinsed or not, bags, and what is weighed. */
function rowsOf({ sizes, loads, bags }: Empties): Row[] {
	const dirty = new Map<string, number>();
	for (const { containers } of loads.filter(({ rinsed }) => rinsed === 'not rinsed')) {
		for (const each of containers) {
			const key = `${each.size} ${each.unit}`;
			dirty.set(key, (dirty.get(key) ?? 0) + each.pieces);
		}
	}
	const containers = sizes
		.filter(({ waiting, emptied }) => waiting > 0 || emptied > 0)
		.flatMap(({ size: each, unit, waiting }): Row[] => {
			const key = `${each} ${unit}`;
			const unrinsed = Math.min(waiting, dirty.get(key) ?? 0);
			const what = `${size(each)} ${unit}`;
			const row = { size: each, unit };
			return [
				{ ...row, key, kind: 'rinsed containers', label: `${what}, rinsed`, waiting: waiting - unrinsed },
				...(unrinsed > 0
					? [
							{
								...row,
								key: `${key} dirty`,
								kind: 'unrinsed containers' as const,
								label: `${what}, not rinsed`,
								waiting: unrinsed,
							},
						]
					: []),
			];
		});
	return [
		...containers,
		{ key: 'bags', kind: 'caps and foils', label: 'Bags of caps and foils', waiting: bags.waiting },
		{ key: 'absorbents', kind: 'absorbents and clothing', label: 'Absorbents, clothing', waiting: null },
		{ key: 'product', kind: 'product', label: 'Old product', waiting: null },
	];
}

export function BagForm({ loose, onClose }: { readonly loose: string; readonly onClose: () => void }) {
	const [date, setDate] = useState<string | null>(today());
	const [by, setBy] = useState(useUsualOperator());
	const bag = useCommand(
		(api, _: undefined, key) => api.waste.closeBag({ key, by, ...(date ? { date } : {}) }),
		onClose,
	);
	return (
		<EntryForm
			command={bag}
			onSubmit={() => bag.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={bag.busy} data-autofocus>
						Book one bag
					</Button>
				</>
			}
		>
			<p>
				Caps and foils, in a double bag that is tied now. It waits for the next collection.
				{loose !== '' && ` By the book it holds ${loose}.`}
			</p>
			<div className="pair">
				<DateInput label="Closed on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} />
			</div>
		</EntryForm>
	);
}

/** How the containers of some loads were rinsed, for all chosen loads at once. */
export function RinseForm({ loads, onClose }: { readonly loads: Empties['loads']; readonly onClose: () => void }) {
	const silent = loads.filter(({ rinsed }) => rinsed === null);
	const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
	const [how, setHow] = useState<RinseWay | null>(null);
	const [by, setBy] = useState(useUsualOperator());
	const chosen = silent.filter(({ loadLogId }) => !left.has(loadLogId));
	const note = useCommand(
		(api, way: RinseWay, key) =>
			api.waste.noteRinse({ key, how: way, by, loadLogIds: chosen.map(({ loadLogId }) => loadLogId) }),
		onClose,
	);
	const toggle = (id: string) => {
		const next = new Set(left);
		if (!next.delete(id)) next.add(id);
		setLeft(next);
	};
	return (
		<EntryForm
			command={note}
			onSubmit={() => how && note.run(how)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={note.busy} disabled={chosen.length === 0 || how === null}>
						Note it for {count(chosen.length, 'load')}
					</Button>
				</>
			}
		>
			<Choice<RinseWay> legend="They were rinsed" options={rinseWays} value={how} onChange={setHow} required />
			<fieldset className="group rinse-loads">
				<legend className="entry-label">Of these loads</legend>
				{silent.map((load) => (
					<Checkbox
						key={load.loadLogId}
						checked={!left.has(load.loadLogId)}
						onChange={() => toggle(load.loadLogId)}
						label={`${shortDate(load.on)}, ${load.job}, load ${load.load}: ${load.containers
							.map((each) => `${each.pieces} × ${size(each.size)} ${each.unit}`)
							.join(', ')}`}
					/>
				))}
			</fieldset>
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}

export function TakeBackForm({
	collection,
	onClose,
}: {
	readonly collection: Collection;
	readonly onClose: () => void;
}) {
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const back = useCommand(
		(api, _: undefined, key) => api.waste.takeBack({ key, collectionId: collection.id, why, by }),
		onClose,
	);
	return (
		<EntryForm
			command={back}
			onSubmit={() => back.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={back.busy}>
						Take it back
					</Button>
				</>
			}
		>
			<p>
				Note {collection.noteNo} of {shortDate(collection.on)} stays on the books, marked as taken back; its containers
				wait again.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}
