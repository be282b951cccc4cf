import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Empties } from '../../../shared/contract/waste.ts';
import { today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { size } from './stock-words.ts';

/** A count of the empties by hand, without the figures of the book; sizes left blank were not counted. */
export function CountForm({ sizes, onClose }: { readonly sizes: Empties['sizes']; readonly onClose: () => void }) {
	const { say } = useUnits();
	const [pieces, setPieces] = useState<Readonly<Record<string, number | null>>>({});
	const [date, setDate] = useState<string | null>(today());
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const lines = sizes.flatMap(({ size: each, unit }) => {
		const many = pieces[`${each} ${unit}`] ?? null;
		return many === null ? [] : [{ size: each, unit, pieces: many }];
	});
	const count = useCommand((api, _: undefined, key) =>
		api.waste.countEmpties({ key, lines, by, ...(date ? { date } : {}), ...(why.trim() ? { why } : {}) }),
	);
	if (count.answer) {
		const apart = count.answer.lines.filter((line) => line.pieces !== line.book);
		return (
			<div className="stack">
				<DoneNotice>
					{apart.length === 0 ? 'The count agrees with the book.' : 'The book goes on from the count.'}
				</DoneNotice>
				<ul className="plain-list notes">
					{apart.map((line) => (
						<li key={`${line.size} ${line.unit}`}>
							<b>{say(`${size(line.size)} ${line.unit}`)}</b> {line.pieces} counted, {line.book} by the book
						</li>
					))}
				</ul>
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
			command={count}
			onSubmit={() => count.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={count.busy} disabled={lines.length === 0}>
						Enter the count
					</Button>
				</>
			}
		>
			<p>Empty containers that wait, rinsed or not. Leave blank what was not counted; an empty place is 0.</p>
			<div className="pair">
				{sizes.map(({ size: each, unit }) => (
					<QuantityInput
						key={`${each} ${unit}`}
						label={say(`${size(each)} ${unit}`)}
						whole
						min={0}
						value={pieces[`${each} ${unit}`] ?? null}
						onChange={(many) => setPieces({ ...pieces, [`${each} ${unit}`]: many })}
					/>
				))}
			</div>
			<TextInput label="Note" maxLength={200} value={why} onChange={(event) => setWhy(event.currentTarget.value)} />
			<div className="pair">
				<DateInput label="Counted on" value={date} onChange={setDate} max={today()} required />
				<ByInput value={by} onChange={setBy} label="Counted by" />
			</div>
		</EntryForm>
	);
}
