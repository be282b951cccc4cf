import { Autocomplete, Button } from '@mantine/core';
import { useState } from 'react';
import { seasonOf } from '../../../shared/basics/calendar.ts';
import type { Api } from '../../api.ts';
import { count, today } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { Table } from '../../parts/table.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';

/** Enters the crops of the season that follows by what stands on the fields now. */
export function SeasonDialog({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	return (
		<Dialog title="Next season’s crops" opened={opened} onClose={onClose}>
			{settings.answer && <SeasonForm now={seasonOf(today(), settings.answer.seasonStartMonth)} onClose={onClose} />}
		</Dialog>
	);
}

function SeasonForm({ now, onClose }: { readonly now: number; readonly onClose: () => void }) {
	const { area } = useUnits();
	const [from, setFrom] = useState<number | null>(now);
	const [next, setNext] = useState<Readonly<Record<string, string>>>({});
	const season = from ?? now;
	const crops = useProcedure(['crops', season], (api) => api.fields.crops({ season }));
	const codes = new Map((crops.answer ?? []).map(({ crop, eppoCode }) => [crop, eppoCode]));
	const rotation = (crops.answer ?? []).flatMap(({ crop }) => {
		const follows = next[crop]?.trim() ?? '';
		const eppoCode = codes.get(follows);
		return follows === '' ? [] : [{ crop, next: follows, ...(eppoCode ? { eppoCode } : {}) }];
	});
	const roll = useCommand((api, _: undefined, key) =>
		api.fields.rollSeason({ key, from: season, to: season + 1, rotation }),
	);
	if (roll.answer) {
		return <Entered season={season + 1} rolled={roll.answer} onMore={roll.reset} onClose={onClose} />;
	}
	return (
		<EntryForm
			command={roll}
			onSubmit={() => rotation.length > 0 && roll.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={roll.busy} disabled={rotation.length === 0}>
						Enter for harvest {season + 1}
					</Button>
				</>
			}
		>
			<QuantityInput label="After harvest" whole min={1900} max={2199} value={from} onChange={setFrom} />
			{crops.answer?.length === 0 && <p className="quiet">No crops are noted for harvest {season}.</p>}
			{crops.answer?.map(({ crop, fields, areaHa }) => (
				<Autocomplete
					key={crop}
					label={`After ${crop}`}
					description={`${count(fields, 'field')}, ${area(areaHa)}`}
					placeholder="Leave the fields empty"
					maxLength={200}
					data={[...codes.keys()]}
					value={next[crop] ?? ''}
					onChange={(follows) => setNext({ ...next, [crop]: follows })}
					comboboxProps={{ transitionProps: { duration: 0 } }}
				/>
			))}
			<p className="quiet small">Crops that were entered already stay. Single fields are changed on their own page.</p>
		</EntryForm>
	);
}

type Rolled = Awaited<ReturnType<Api['fields']['rollSeason']>>;

/** What was entered and what was not, by the crop before, in place of the long form. */
function Entered(props: {
	readonly season: number;
	readonly rolled: Rolled;
	readonly onMore: () => void;
	readonly onClose: () => void;
}) {
	const { season, rolled } = props;
	return (
		<div className="stack">
			<DoneNotice>
				Harvest {season}: {count(rolled.entered, 'field')} entered, {rolled.leftEmpty} left empty, {rolled.kept} kept as
				entered before.
			</DoneNotice>
			<Table
				caption={`Crops entered for harvest ${season}`}
				rows={rolled.byCrop}
				rowKey={({ crop }) => crop ?? ''}
				muted={({ entered }) => entered === 0}
				columns={[
					{ key: 'crop', head: 'After', cell: ({ crop }) => crop ?? 'no crop noted' },
					{ key: 'next', head: `Harvest ${season}`, cell: ({ next }) => next ?? '–' },
					...counts.map(({ key, head }) => ({
						...{ key, head, number: true },
						cell: (row: Rolled['byCrop'][number]) => row[key] || '–',
					})),
				]}
			/>
			<div className="form-foot">
				<Button variant="default" onClick={props.onMore}>
					Enter more
				</Button>
				<Button autoFocus onClick={props.onClose}>
					Done
				</Button>
			</div>
		</div>
	);
}

const counts = [
	{ key: 'entered', head: 'entered' },
	{ key: 'leftEmpty', head: 'left empty' },
	{ key: 'kept', head: 'kept' },
] as const;
