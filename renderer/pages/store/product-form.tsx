import { Button, Checkbox, Textarea, TextInput } from '@mantine/core';
import { useRef, useState } from 'react';
import type { LabelLimit, Product } from '../../../shared/contract/products.ts';
import { hazardSays, plainCode } from '../../../shared/core/products/hazard-codes.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { type ActiveDraft, ActivesEditor, activesOf } from './actives-editor.tsx';
import { ClosuresEditor } from './closures-editor.tsx';
import { type Finish, LimitsEditor } from './limits-editor.tsx';
import { type NutrientDraft, NutrientsEditor, nutrientsOf } from './nutrients-editor.tsx';
import { PackSizes } from './pack-sizes.tsx';
import { STORE_PLACES, StorePlaces } from './store-places.tsx';

type Entry = ReturnType<typeof entryOf> & { readonly nutrients: Product['nutrients'] };
type Draft = Omit<Product, 'id' | 'version' | 'actives' | 'limits' | 'nutrients'>;
const kinds: readonly Product['kind'][] = [
	'plant protection product',
	'water conditioner',
	'antifoam',
	'compatibility agent',
	'drift retardant',
	'oil adjuvant',
	'surfactant',
	'liquid fertiliser',
	'micronutrient',
];

const blank: Draft = {
	name: '',
	formulation: '',
	unit: 'L',
	packSizes: [],
	kind: 'plant protection product',
	waterSolubleBag: false,
	closedTransfer: false,
	closures: [],
	after: [],
	before: [],
	referenceDoses: [],
	hazards: [],
};

/** Enters a product as its label and container say it. */
export function ProductForm(props: {
	readonly product: Product | null;
	readonly onClose: () => void;
	readonly onSaved: (id: string) => void;
}) {
	const { product } = props;
	const isMetric = useUnits().units === 'metric';
	const [draft, setDraft] = useState<Draft>(product ? draftOf(product) : blank);
	const [actives, setActives] = useState<readonly ActiveDraft[]>(product?.actives ?? []);
	const [limits, setLimits] = useState<readonly LabelLimit[]>(product?.limits ?? []);
	const [nutrients, setNutrients] = useState<readonly NutrientDraft[]>(product?.nutrients ?? []);
	const formulations = useProcedure(['formulations'], (api) => api.products.formulations({})).answer ?? [];
	const known = formulations.find((row) => row.code === draft.formulation);
	const ruleSet = useProcedure(['settings'], (api) => api.settings.get({})).answer?.ruleSet ?? '';
	// Labels outside North America use the international letters.
	const asksForCoding = known?.ambiguous && (ruleSet.startsWith('us-') || draft.coding !== undefined);
	const set = (change: Partial<Draft>) => setDraft({ ...draft, ...change });
	const save = useCommand(
		async (api, entry: Entry, key) => {
			if (!product) return api.products.add({ key, ...entry });
			return api.products.update({ key, id: product.id, version: product.version, ...entry });
		},
		({ id }) => {
			props.onSaved(id);
			props.onClose();
		},
	);
	const finish = useRef<Finish>(null);

	/** A limit that is still being entered goes along: nobody means to lose it. */
	function send(): void {
		const last = finish.current?.() ?? { ok: true };
		if (!last.ok) return;
		const all = last.limit ? [...limits, last.limit] : limits;
		void save.run({ ...entryOf(draft, actives, all, product), nutrients: nutrientsOf(nutrients) });
	}

	return (
		<EntryForm
			command={save}
			onSubmit={send}
			foot={
				<>
					<Button variant="default" onClick={props.onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						{product ? 'Save the change' : 'Put it on the books'}
					</Button>
				</>
			}
		>
			<div className="pair">
				<TextInput
					label="Name"
					required
					data-autofocus
					maxLength={200}
					value={draft.name}
					onChange={(event) => set({ name: event.currentTarget.value })}
				/>
				<Pick
					label="Formulation"
					required
					options={formulations.map((row) => ({ value: row.code, label: `${row.code} · ${row.name}` }))}
					value={draft.formulation === '' ? null : draft.formulation}
					onChange={(code) => set({ formulation: code ?? '', ...unitFor(stateOf(code)) })}
					placeholder="As on the label, e.g. SC"
				/>
				<Pick
					label="Kind"
					required
					options={kinds.map((kind) => ({ value: kind, label: kind }))}
					value={draft.kind}
					onChange={(kind) => kind && set({ kind })}
				/>
			</div>
			{asksForCoding && (
				<Choice
					legend={`${draft.formulation} means different things in different coding systems. Which one does the label use?`}
					value={draft.coding ?? null}
					onChange={(coding) => set({ coding })}
					required
					options={[
						{ value: 'international', label: 'The international two-letter code' },
						{ value: 'north american', label: 'North American label letters' },
					]}
				/>
			)}
			<div className="pair">
				<Pick
					label="Sold by"
					required
					options={[
						{ value: 'L', label: isMetric ? 'the litre (L)' : 'the gallon (gal)' },
						{ value: 'kg', label: isMetric ? 'the kilogram (kg)' : 'the pound (lb)' },
					]}
					value={draft.unit}
					onChange={(unit) => unit && set({ unit })}
				/>
				<PackSizes unit={draft.unit} value={draft.packSizes} onChange={(packSizes) => set({ packSizes })} />
				{(known?.state === 'liquid' || draft.unit === 'kg') && (
					<QuantityInput
						label="Relative density"
						description={
							known?.state === 'liquid' && draft.unit === 'kg'
								? 'Needed: a liquid sold by the kilogram'
								: 'Safety data sheet, section 9'
						}
						required={known?.state === 'liquid' && draft.unit === 'kg'}
						min={0.1}
						max={25}
						value={draft.relativeDensity ?? null}
						onChange={(relativeDensity) => set({ relativeDensity })}
					/>
				)}
				{known?.state === 'solid' && (
					<QuantityInput
						label="Takes up in the tank"
						unit="L/kg"
						description="Left empty: from the density, else 0.7"
						min={0.01}
						max={25}
						value={draft.displacementLPerKg ?? null}
						onChange={(displacementLPerKg) => set({ displacementLPerKg })}
					/>
				)}
			</div>
			<div className="row">
				<Checkbox
					label="In water-soluble bags"
					checked={draft.waterSolubleBag}
					onChange={(event) => set({ waterSolubleBag: event.currentTarget.checked })}
				/>
				<Checkbox
					label="Drawn by closed transfer"
					checked={draft.closedTransfer}
					onChange={(event) => set({ closedTransfer: event.currentTarget.checked })}
				/>
			</div>
			<ClosuresEditor
				unit={draft.unit}
				sizes={draft.packSizes}
				value={draft.closures}
				onChange={(closures) => set({ closures })}
			/>
			<ActivesEditor value={actives} onChange={setActives} unit={draft.unit} />
			{(mayFeed(draft) || nutrients.length > 0) && (
				<NutrientsEditor value={nutrients} product={draft} onChange={setNutrients} />
			)}
			<LimitsEditor value={limits} onChange={setLimits} unit={draft.unit} finish={finish} />
			<Label draft={draft} set={set} />
		</EntryForm>
	);

	/** As it is usually sold; what is on the books already keeps its unit. */
	function unitFor(state: string | undefined): { unit?: 'L' | 'kg' } {
		return product || state === undefined ? {} : { unit: state === 'solid' ? 'kg' : 'L' };
	}

	function stateOf(code: string | null): string | undefined {
		return formulations.find((row) => row.code === code)?.state;
	}
}

/** Fertilisers, and what holds salts of ammonium. */
function mayFeed({ kind }: Draft): boolean {
	return kind === 'liquid fertiliser' || kind === 'micronutrient' || kind === 'water conditioner';
}

/** What else the label says: authorisation, order in the tank, hazards, protection. */
function Label({ draft, set }: { readonly draft: Draft; readonly set: (change: Partial<Draft>) => void }) {
	const [hazards, setHazards] = useState(draft.hazards.join(', '));
	const [after, setAfter] = useState(draft.after.join(', '));
	const [before, setBefore] = useState(draft.before.join(', '));
	return (
		<>
			<h2>Authorisation and label</h2>
			<div className="pair">
				<TextInput
					label="Authorisation number"
					maxLength={60}
					value={draft.authorisationNo ?? ''}
					onChange={(event) => set({ authorisationNo: event.currentTarget.value })}
				/>
				<DateInput
					label="Authorised until"
					value={draft.authorisationEnds ?? null}
					onChange={(date) => set({ authorisationEnds: date ?? undefined })}
				/>
				<DateInput
					label="Sold until"
					value={draft.saleEnds ?? null}
					onChange={(date) => set({ saleEnds: date ?? undefined })}
				/>
				<DateInput
					label="Use up by"
					value={draft.useUpBy ?? null}
					onChange={(date) => set({ useUpBy: date ?? undefined })}
				/>
				<StorePlaces />
				<TextInput
					label="Stands at"
					description="Shelf or room in the store"
					maxLength={60}
					list={STORE_PLACES}
					value={draft.place ?? ''}
					onChange={(event) => set({ place: event.currentTarget.value })}
				/>
				<TextInput
					label="Holder"
					maxLength={120}
					value={draft.holder ?? ''}
					onChange={(event) => set({ holder: event.currentTarget.value })}
				/>
			</div>
			<div className="pair">
				<TextInput
					label="Goes in after"
					description="Product names, with commas; only if the label says so"
					value={after}
					onChange={(event) => {
						setAfter(event.currentTarget.value);
						set({ after: listed(event.currentTarget.value) });
					}}
				/>
				<TextInput
					label="Goes in before"
					value={before}
					onChange={(event) => {
						setBefore(event.currentTarget.value);
						set({ before: listed(event.currentTarget.value) });
					}}
				/>
				<TextInput
					label="Hazard statements"
					description={unknownCodes(draft.hazards) || 'For example H411, H318, H360Fd'}
					value={hazards}
					onChange={(event) => {
						setHazards(event.currentTarget.value);
						set({ hazards: listed(event.currentTarget.value).map(plainCode) });
					}}
				/>
			</div>
			<div className="pair">
				<Textarea
					label="Protective equipment"
					autosize
					minRows={2}
					maxLength={4000}
					value={draft.protection ?? ''}
					onChange={(event) => set({ protection: event.currentTarget.value })}
				/>
				<Textarea
					label="Cautions and mixing"
					autosize
					minRows={2}
					maxLength={4000}
					value={draft.cautions ?? ''}
					onChange={(event) => set({ cautions: event.currentTarget.value })}
				/>
				<Textarea
					label="Storage"
					autosize
					minRows={2}
					maxLength={4000}
					value={draft.storage ?? ''}
					onChange={(event) => set({ storage: event.currentTarget.value })}
				/>
			</div>
		</>
	);
}

function unknownCodes(codes: readonly string[]): string {
	const unknown = codes.filter((code) => hazardSays(code) === null);
	return unknown.length === 0 ? '' : `Not on the list, look again: ${unknown.join(', ')}`;
}

function listed(text: string): string[] {
	return text
		.split(/[,;]/)
		.map((part) => part.trim())
		.filter((part) => part !== '');
}

function draftOf(product: Product): Draft {
	const { id: _id, version: _version, actives: _actives, limits: _limits, nutrients: _nutrients, ...draft } = product;
	return draft;
}

/** What is sent: an empty text is left out, or sent to wipe what stood there. */
function entryOf(draft: Draft, actives: readonly ActiveDraft[], limits: readonly LabelLimit[], before: Product | null) {
	const stood = (key: string) => before !== null && key in before;
	const kept = Object.fromEntries(
		Object.entries(draft).filter(([key, value]) => value !== undefined && (value !== '' || stood(key))),
	) as Draft;
	const closures = draft.closures.filter(({ size }) => draft.packSizes.includes(size));
	return { ...kept, closures, actives: activesOf(actives), limits: [...limits] };
}
