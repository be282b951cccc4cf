import { Autocomplete, Button } from '@mantine/core';
import { useState } from 'react';
import { seasonOf } from '../../../shared/basics/calendar.ts';
import { count, hectares, today } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
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
	const { answer } = roll;
	return (
		<EntryForm
			command={roll}
			onSubmit={() => rotation.length > 0 && roll.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						{answer ? 'Done' : 'Leave it'}
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
					description={`${count(fields, 'field')}, ${hectares(areaHa)} ha`}
					placeholder="Leave the fields empty"
					maxLength={200}
					data={[...codes.keys()]}
					value={next[crop] ?? ''}
					onChange={(follows) => setNext({ ...next, [crop]: follows })}
					comboboxProps={{ transitionProps: { duration: 0 } }}
				/>
			))}
			<p className="quiet small">Crops that were entered already stay. Single fields are changed on their own page.</p>
			{answer && (
				<DoneNotice>
					{count(answer.entered, 'field')} entered, {answer.leftEmpty} left empty, {answer.kept} kept as they were.
				</DoneNotice>
			)}
		</EntryForm>
	);
}
