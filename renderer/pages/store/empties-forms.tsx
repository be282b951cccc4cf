import { Button, Checkbox } from '@mantine/core';
import { useState } from 'react';
import type { Collection, Empties, RinseWay } from '../../../shared/contract/waste.ts';
import { count, shortDate, today } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { rinseWays } from './rinse-ways.ts';
import { size } from './stock-words.ts';

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
	const { say } = useUnits();
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
							.map((each) => `${each.pieces} × ${say(`${size(each.size)} ${each.unit}`)}`)
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
