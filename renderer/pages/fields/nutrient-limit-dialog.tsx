import { Button, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { NutrientLimit } from '../../../shared/contract/limits.ts';
import { ENGLISH_MAXIMA_SOURCE, englishNitrogenMax } from '../../../shared/core/limits/nitrogen-figures.ts';
import { fieldLimitPeriods } from '../../../shared/core/limits/period.ts';
import { type Nutrient, nutrientNames, nutrients } from '../../../shared/core/products/nutrient.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Props = { readonly detail: FieldDetail; readonly opened: boolean; readonly onClose: () => void };
type Which = 'this' | 'crop' | 'all';

/** Says how much of a nutrient a field, or every field of its crop, may be given. */
export function NutrientLimitDialog({ detail, opened, onClose }: Props) {
	return (
		<Dialog title={`${detail.field.name}: nutrient limit`} opened={opened} onClose={onClose}>
			<LimitForm detail={detail} onClose={onClose} />
		</Dialog>
	);
}

function LimitForm({ detail: { field }, onClose }: Omit<Props, 'opened'>) {
	const crop = field.eppoCode ?? field.crop ?? null;
	const [nutrient, setNutrient] = useState<Nutrient>('N');
	const [max, setMax] = useState<number | null>(null);
	const [per, setPer] = useState<NutrientLimit['per']>('season');
	const [source, setSource] = useState('');
	const [onlyCrop, setOnlyCrop] = useState(crop !== null);
	const [strength, setStrength] = useState<'stops' | 'warns'>('stops');
	const [fromMemory, setFromMemory] = useState(false);
	const [which, setWhich] = useState<Which>('this');
	const fields = useProcedure(['fields'], (api) => api.fields.list({})).answer ?? [];
	const ofCrop = fields.filter((one) => one.crop !== undefined && one.crop === field.crop);
	const published = englishNitrogenMax([field.eppoCode, field.crop].filter((name) => name !== undefined));
	const save = useCommand((api, _: undefined, key) => {
		const chosen = which === 'all' ? fields : which === 'crop' ? ofCrop : [field];
		return api.limits.setNutrient({
			...{ key, nutrient, per, source, fromMemory },
			fieldIds: chosen.map(({ id }) => id),
			crop: onlyCrop ? crop : null,
			maxKgPerHa: max ?? 0,
			warnsOnly: strength === 'warns',
		});
	}, onClose);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						Set the limit
					</Button>
				</>
			}
		>
			<div className="pair">
				<Pick
					label="Nutrient"
					options={nutrients.map((each) => ({ value: each, label: `${each}, ${nutrientNames[each]}` }))}
					value={nutrient}
					onChange={(each) => each && setNutrient(each)}
				/>
				<QuantityInput label="At most" unit="kg/ha" required min={0} max={10_000} value={max} onChange={setMax} />
				<Pick
					label="Per"
					options={fieldLimitPeriods.map((each) => ({ value: each, label: each }))}
					value={per}
					onChange={(each) => each && setPer(each)}
				/>
			</div>
			{published && nutrient === 'N' && (
				<p className="small">
					Published for {published.crop} in the nitrate zones of England: {published.kgPerHa} kg N/ha and year, as the
					mean over all its fields, nitrogen of manure included.{' '}
					<Button
						variant="default"
						size="xs"
						onClick={() => {
							setMax(published.kgPerHa);
							setSource(ENGLISH_MAXIMA_SOURCE);
							setStrength('warns');
						}}
					>
						Take it
					</Button>
				</p>
			)}
			<TextInput
				label="Set by"
				description="Who or what: the nutrient plan, a scheme, the law"
				required
				maxLength={200}
				value={source}
				onChange={(event) => setSource(event.currentTarget.value)}
			/>
			<Checkbox
				label="From memory, not looked up"
				checked={fromMemory}
				onChange={(event) => setFromMemory(event.currentTarget.checked)}
			/>
			<Choice
				legend="A plan that goes over it"
				value={fromMemory ? 'warns' : strength}
				onChange={setStrength}
				options={[
					{ value: 'stops', label: 'is stopped', disabled: fromMemory },
					{ value: 'warns', label: 'is warned of, and goes on for a reason' },
				]}
			/>
			{field.crop !== undefined && (
				<Checkbox
					label={`Only while ${field.crop} grows there`}
					checked={onlyCrop}
					onChange={(event) => setOnlyCrop(event.currentTarget.checked)}
				/>
			)}
			<Choice<Which>
				legend="For"
				value={which}
				onChange={setWhich}
				options={[
					{ value: 'this', label: `${field.name} alone` },
					...(ofCrop.length > 1
						? [{ value: 'crop' as const, label: `every field of ${field.crop}`, figure: String(ofCrop.length) }]
						: []),
					{ value: 'all', label: 'every field', figure: String(fields.length) },
				]}
			/>
			<p className="quiet small">
				It counts what jobs on these books bring out. Manure, slurry and grazing are not in it: take them off the
				figure.
			</p>
		</EntryForm>
	);
}
