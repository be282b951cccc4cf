import type { FieldLimitStored } from '../../db/modules/field-limits.ts';
import { type FieldWithFigures, fieldsWithParents, findField } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listUses, type UseStored } from '../../db/modules/records.ts';
import { seasonDates, seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldNutrients } from '../../shared/contract/limits.ts';
import { addYears } from '../../shared/core/limits/period.ts';
import { nutrientOver } from '../../shared/core/limits/sum-limits.ts';
import { type NutrientAmount, nutrientSums, nutrients } from '../../shared/core/products/nutrient.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { nutrientsOf } from './applied-product.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import { plannedElsewhere } from './earlier-treatments.ts';
import { historyOf, wantedOf, wantedOfNutrients } from './field-history.ts';
import { limitsByField } from './field-limits.ts';
import { forebearsOf } from './field-lineage.ts';
import { loadFor } from './field-register.ts';
import { seasonNow } from './fields.ts';
import type { QueryContext } from './handler.ts';
import { type LimitNow, limitsNow } from './limits-now.ts';
import type { ProductDetails } from './products.ts';
import type { Period } from './report-table.ts';
import { sownOn } from './seed-sowings.ts';

/** What one field was given in a period, and how its limits stand on the last day of it. */
export type GivenToField = {
	readonly given: readonly (NutrientAmount & { readonly kgPerHa: number | null })[];
	readonly limits: readonly LimitNow[];
	/** Some of its ground had other names before. */
	readonly hadOtherNames: boolean;
};

/** How many years back a limit may count: a crop may have been sown in the season before last. */
const YEARS_COUNTED: Readonly<Record<FieldLimitStored['per'], number>> = {
	crop: 2,
	season: 1,
	'calendar year': 1,
	'12 months': 1,
};

/**
 * Reads once what a period brought in nutrients, on some fields or on all, and answers field by field. Kilograms are those
 * of the field's own records; kg/ha are where most fell together, also under the names its ground had before.
 */
export async function nutrientsGiven({ db, farm }: QueryContext, { from, to }: Period, fieldIds?: readonly string[]) {
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const holding = new Map([...products].filter(([, product]) => nutrientsOf(product, 1).length > 0));
	const limits = await limitsByField(db, fieldIds);
	const counted = Math.max(0, ...[...limits.values()].flat().map(({ per }) => YEARS_COUNTED[per]));
	const years = Math.max(counted, Number(to.slice(0, 4)) - Number(from.slice(0, 4)) + 1);
	const since = [from, addYears(to, -counted)].sort()[0] ?? from;
	const uses = await listUses(db, { from: since, to, productIds: [...holding.keys()], fieldIds });
	const sown = (await sownOn(db)).map((one) => ({ ...one, at: startOfDay(one.date, farm.zone) }));
	const wanted = wantedOf(holding, nutrients);
	const overlap = 'yes';
	const history = historyOf(uses, { products: holding, wanted, measureStep: farm.measureStep, sown, overlap });
	const amounts = amountsByField(
		uses.filter(({ sprayDate }) => sprayDate >= from),
		holding,
	);
	const withParents = await fieldsWithParents(db);
	const season = seasonDates(seasonOf(to, farm.seasonStartMonth), farm.seasonStartMonth);
	const look = wantedOfNutrients(nutrients, years);
	const at = endOfDay(to, farm.zone);
	return async (row: FieldWithFigures): Promise<GivenToField> => {
		const { id } = row.field;
		const hadOtherNames = withParents.has(id);
		const forebears = hadOtherNames ? await forebearsOf(db, id, toHectares(loadFor(row).m2 ?? 0)) : [];
		const before = [id, ...forebears.map((forebear) => forebear.id)]
			.flatMap((name) => history.get(name) ?? [])
			.flatMap((one) => one.before({ at, jobId: '', date: to }, [look]));
		const own = new Map((amounts.get(id) ?? []).map(({ nutrient, kg }) => [nutrient, kg]));
		const given = nutrients.flatMap((nutrient) => {
			const kgPerHa = nutrientOver(nutrient, before, { from, to });
			return kgPerHa === 0 ? [] : [{ nutrient, kg: own.get(nutrient) ?? (own.has(nutrient) ? null : 0), kgPerHa }];
		});
		return {
			given,
			limits: limitsNow(limits.get(id) ?? [], row, { date: to, history: before, season }),
			hadOtherNames,
		};
	};
}

function amountsByField(
	uses: readonly UseStored[],
	products: ReadonlyMap<string, ProductRow<ProductDetails>>,
): Map<string, NutrientAmount[]> {
	const byField = Map.groupBy(uses, ({ fieldId }) => fieldId ?? '');
	return new Map(
		[...byField].map(([id, own]) => {
			const parts = own.flatMap(({ productId, onGround }) => {
				const product = products.get(productId);
				return product ? nutrientsOf(product, fromStockAmount(onGround)) : [];
			});
			return [id, nutrientSums(parts)];
		}),
	);
}

/** What a field was given this season, and what it may be given. */
export async function nutrientsOfField(
	context: QueryContext,
	{ fieldId }: { readonly fieldId: string },
): Promise<Result<FieldNutrients>> {
	const { db, farm, now } = context;
	const season = seasonNow(context);
	const row = await findField(db, fieldId, season);
	if (!row) return refuse('not.found', { what: 'field', id: fieldId });
	const { from, to: seasonEnd } = seasonDates(season, farm.seasonStartMonth);
	const to = toLocalDate(now, farm.zone);
	const open = (await plannedElsewhere(db, { fieldIds: [fieldId], jobId: undefined })).get(fieldId) ?? [];
	const ahead = open.map((treatment) => ({ ...treatment, overlap: 'yes' as const }));
	const fieldIds = [fieldId, ...(await forebearsOf(db, fieldId, 0)).map(({ id }) => id)];
	const { given, limits } = await (await nutrientsGiven(context, { from, to }, fieldIds))(row);
	return ok({
		from,
		to,
		given: given.map(({ nutrient, kg, kgPerHa }) => ({ nutrient, kg, kgPerHa })),
		planned: nutrients.flatMap((nutrient) => {
			const kgPerHa = nutrientOver(nutrient, ahead, { from, to: seasonEnd });
			return kgPerHa === 0 ? [] : [{ nutrient, kgPerHa }];
		}),
		limits: limits.map(({ row: { id, nutrient, crop, maxKgPerHa, per, source, ...marks }, used, applies }) => ({
			id,
			nutrient,
			crop,
			maxKgPerHa,
			per,
			source,
			fromMemory: marks.fromMemory === 1,
			warnsOnly: marks.warnsOnly === 1,
			applies,
			since: used?.since ?? null,
			usedKgPerHa: used?.used ?? null,
		})),
	});
}
