import { Autocomplete, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import { seasonOf } from '../../../shared/basics/calendar.ts';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { SowingWait } from '../../../shared/contract/limits.ts';
import { comesAfter, isTooEarly } from '../../../shared/core/limits/following-crop.ts';
import { count, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { Foot } from './field-dialogs.tsx';
import { SowingWaits } from './field-following.tsx';

type Props = {
	readonly detail: FieldDetail;
	/** The harvest year to enter or change; null: the one that is growing. */
	readonly season: number | null;
	readonly onClose: () => void;
};

/** What grows in a season: entered, or changed where it is entered already. */
export function CropDialog({ opened, ...props }: Props & { readonly opened: boolean }) {
	const { answer: settings } = useProcedure(['settings'], (api) => api.settings.get({}));
	const now = settings ? seasonOf(today(), settings.seasonStartMonth) : null;
	const season = props.season ?? now;
	return (
		<Dialog title={`${props.detail.field.name}: crop`} opened={opened && season !== null} onClose={props.onClose}>
			{season !== null && <CropForm detail={props.detail} season={season} now={now} onClose={props.onClose} />}
		</Dialog>
	);
}

function CropForm({
	detail,
	season,
	now,
	onClose,
}: Omit<Props, 'season'> & {
	readonly season: number;
	/** The season whose crops the register shows. */
	readonly now: number | null;
}) {
	const register = useProcedure(['fields'], (api) => api.fields.list({}));
	const codeOf = new Map((register.answer ?? []).flatMap(({ crop, eppoCode }) => (crop ? [[crop, eppoCode]] : [])));
	const [year, setYear] = useState<number | null>(season);
	const [entry, setEntry] = useState(() => entryOf(detail, season));
	const set = (part: Partial<Entry>) => setEntry((before) => ({ ...before, ...part }));
	const [alsoAlike, setAlsoAlike] = useState(true);
	const known = detail.crops.some((each) => each.season === year);
	const alike = (register.answer ?? []).filter(
		({ id, crop, eppoCode }) => id !== detail.field.id && crop === entry.crop && !eppoCode,
	);
	const asksAlike = year === now && alike.length > 0 && entry.eppoCode.trim() !== '';
	const waits = useProcedure(['fields', detail.field.id, 'following'], (api) =>
		api.limits.following({ fieldId: detail.field.id }),
	);
	const tooEarly = year === null ? [] : keptOff(waits.answer ?? [], { ...entry, season: year });
	const save = useCommand((api, harvest: number, key) => {
		const { crop, eppoCode, variety, sownOn, harvestOn } = entry;
		return api.fields.setCrop({
			key,
			id: detail.field.id,
			season: harvest,
			crop,
			...(eppoCode.trim() === '' ? {} : { eppoCode: eppoCode.trim().toUpperCase() }),
			...(variety.trim() === '' ? {} : { variety }),
			...(sownOn === null ? {} : { sownOn }),
			...(harvestOn === null ? {} : { harvestOn }),
			codeForAlike: asksAlike && alsoAlike,
		});
	}, onClose);

	function chooseYear(next: number | null): void {
		setYear(next);
		if (next !== null && detail.crops.some((each) => each.season === next)) setEntry(entryOf(detail, next));
	}

	return (
		<EntryForm
			command={save}
			onSubmit={() => year !== null && save.run(year)}
			foot={<Foot busy={save.busy} onClose={onClose} action={known ? 'Save the change' : 'Enter the crop'} />}
		>
			<div className="pair">
				<Autocomplete
					label="Crop"
					required
					data-autofocus
					maxLength={200}
					openOnFocus={false}
					data={[...codeOf.keys()].sort((a, b) => a.localeCompare(b))}
					value={entry.crop}
					onChange={(crop) => set({ crop, ...(codeOf.get(crop) ? { eppoCode: codeOf.get(crop) ?? '' } : {}) })}
					comboboxProps={{ transitionProps: { duration: 0 } }}
				/>
				<QuantityInput label="Harvest year" required whole min={1900} max={2200} value={year} onChange={chooseYear} />
			</div>
			<div className="pair">
				<TextInput
					label="EPPO code"
					description="For example TRZAW, winter wheat"
					maxLength={12}
					value={entry.eppoCode}
					onChange={(event) => set({ eppoCode: event.currentTarget.value })}
				/>
				<TextInput
					label="Variety"
					maxLength={100}
					value={entry.variety}
					onChange={(event) => set({ variety: event.currentTarget.value })}
				/>
			</div>
			{asksAlike && (
				<Checkbox
					label={`The code also for ${count(alike.length, 'other field')} of ${entry.crop} without one`}
					checked={alsoAlike}
					onChange={(event) => setAlsoAlike(event.currentTarget.checked)}
				/>
			)}
			<div className="pair">
				<DateInput label="Sown on" value={entry.sownOn} onChange={(sownOn) => set({ sownOn })} />
				<DateInput
					label="Harvest expected"
					description="For harvest intervals"
					value={entry.harvestOn}
					onChange={(harvestOn) => set({ harvestOn })}
				/>
			</div>
			{tooEarly.length > 0 && <SowingWaits waits={tooEarly} />}
		</EntryForm>
	);
}

/** The waits that a crop does not keep, as it stands in the form. */
function keptOff(waits: readonly SowingWait[], entry: Entry & { readonly season: number }): SowingWait[] {
	const { crop, season, sownOn } = entry;
	const names = [entry.eppoCode, crop].map((name) => name.trim()).filter((name) => name !== '');
	if (names.length === 0) return [];
	return waits
		.filter(
			(wait) => comesAfter(entry, { season: wait.season, date: wait.treatedOn }) && isTooEarly(wait, { names, sownOn }),
		)
		.map((wait) => ({ ...wait, tooEarly: { crop, season, sownOn } }));
}

type Entry = {
	readonly crop: string;
	readonly eppoCode: string;
	readonly variety: string;
	readonly sownOn: string | null;
	readonly harvestOn: string | null;
};

function entryOf({ crops }: FieldDetail, season: number): Entry {
	const known = crops.find((each) => each.season === season);
	return {
		crop: known?.crop ?? '',
		eppoCode: known?.eppoCode ?? '',
		variety: known?.variety ?? '',
		sownOn: known?.sownOn ?? null,
		harvestOn: known?.harvestOn ?? null,
	};
}
