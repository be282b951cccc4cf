import { type FieldWithFigures, listFields } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { type PassStored, sumsByField } from '../../db/modules/records.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import {
	frequencyOverFields,
	referenceDoseOf,
	treatmentFrequency,
} from '../../shared/core/records/treatment-frequency.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { number, type Period, type ReportTable, text } from './report-table.ts';

type Product = ProductRow<ProductDetails>;
const kinds = ['herbicide', 'fungicide', 'insecticide', 'other'] as const;
type Kind = (typeof kinds)[number];

/** Treatments as full doses on whole fields: field by field, and over the farm by area. */
export async function treatmentFrequencyIndex(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm } = context;
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const sums = await sumsByField(db, period);
	const uses = Map.groupBy(sums.uses, ({ fieldId }) => fieldId);
	const seen: Seen = { byLabel: new Set(), without: new Set(), noArea: new Set() };
	const rows = (await listFields(db, seasonOf(period.to, farm.seasonStartMonth))).flatMap((field): ReportRow[] => {
		const own = uses.get(field.field.id) ?? [];
		if (own.length === 0 && (field.crop === null || field.field.retiredOn !== null)) return [];
		const row = fieldRow(field, own, products, seen);
		return row ? [{ ...row, treatments: sums.passes.get(field.field.id) ?? 0 }] : [];
	});
	const over = (key: string) =>
		frequencyOverFields(rows.map((row) => ({ index: Number(row[key]), areaHa: Number(row['areaHa']) })));
	return {
		columns: [
			text('field', 'field'),
			text('code', 'code'),
			text('crop', 'crop'),
			number('areaHa', 'field area', 2, { unit: 'ha' }),
			number('treatments', 'treatments', 0),
			number('herbicide', 'herbicides', 2),
			number('fungicide', 'fungicides', 2),
			number('insecticide', 'insecticides', 2),
			number('other', 'others', 2),
			number('index', 'index', 2),
		],
		rows,
		totals:
			rows.length === 0
				? null
				: {
						field: 'farm, by area',
						areaHa: rows.reduce((sum, row) => sum + Number(row['areaHa']), 0),
						...Object.fromEntries([...kinds, 'index'].map((key) => [key, over(key)])),
					},
		notes: [...notesOf(seen), ...withoutGround(sums.passes.get(null) ?? 0)],
	};
}

/** Names a reader has to know of: held against the label, against nothing, without an area. */
type Seen = { readonly byLabel: Set<string>; readonly without: Set<string>; readonly noArea: Set<string> };

function notesOf({ byLabel, without, noArea }: Seen): string[] {
	const told: readonly [Set<string>, string][] = [
		[byLabel, 'Held against the largest single dose of the label, no reference dose is entered'],
		[without, 'Not counted, neither a reference dose nor a label dose is on the books'],
		[noArea, 'Not counted, no area is on the books'],
	];
	return [
		'Index: dose ÷ reference dose × treated area ÷ field area, added up. Field area: as measured, else as mapped. Adjuvants and the like are not counted; which products are herbicides and so on is told by their mode-of-action group.',
		...told.flatMap(([names, words]) => (names.size > 0 ? [`${words}: ${[...names].join(', ')}.`] : [])),
	];
}

/** Seed and closed spaces have no hectares that a dose could be spread over. */
function withoutGround(treatments: number): string[] {
	if (treatments === 0) return [];
	return [
		`Not in it: ${treatments} ${treatments === 1 ? 'treatment' : 'treatments'} of seed or of a closed space, which have no hectares.`,
	];
}

function fieldRow(
	row: FieldWithFigures,
	uses: readonly Omit<PassStored, 'jobId' | 'amount'>[],
	products: ReadonlyMap<string, Product>,
	seen: Seen,
): ReportRow | null {
	const { field, crop, boundary } = row;
	const areaM2 = boundary?.areaM2 ?? field.mappedM2 ?? loadFor(row).m2;
	if (areaM2 === null) {
		seen.noArea.add(field.name);
		return null;
	}
	const names = crop ? [crop.eppoCode, crop.crop].filter((name) => name !== null) : [];
	const sums: Record<Kind, number> = { herbicide: 0, fungicide: 0, insecticide: 0, other: 0 };
	for (const { productId, onGround, treatedM2 } of uses) {
		const product = products.get(productId);
		if (product?.kind !== 'plant protection product') continue;
		const reference = referenceDoseOf({ ...product, referenceDoses: product.referenceDoses ?? [] }, names);
		if (!reference) seen.without.add(product.name);
		if (reference?.from === 'label') seen.byLabel.add(product.name);
		if (!reference) continue;
		// Dose × ground is what lies on it, whatever the ground: washings treat none anew.
		const treatedHa = treatedM2 > 0 ? toHectares(treatedM2) : 1;
		sums[kindOf(product)] +=
			treatmentFrequency({
				dosePerHa: fromStockAmount(onGround) / treatedHa,
				referencePerHa: reference.dosePerHa,
				treatedHa,
				fieldHa: toHectares(areaM2),
			}) ?? 0;
	}
	return {
		field: field.name,
		code: field.code,
		crop: crop?.crop ?? null,
		areaHa: toHectares(areaM2),
		...sums,
		index: kinds.reduce((sum, kind) => sum + sums[kind], 0),
	};
}

/** By the committee that gave the mode-of-action group: HRAC, FRAC or IRAC. A product without one counts with the others. */
function kindOf({ actives }: Product): Kind {
	const group =
		actives
			.find(({ modeOfAction }) => modeOfAction)
			?.modeOfAction?.trim()
			.toUpperCase() ?? '';
	if (group.startsWith('HRAC')) return 'herbicide';
	if (group.startsWith('FRAC')) return 'fungicide';
	return group.startsWith('IRAC') ? 'insecticide' : 'other';
}
