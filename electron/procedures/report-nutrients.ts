import { type FieldWithFigures, listFields } from '../../db/modules/fields.ts';
import { listProducts } from '../../db/modules/products.ts';
import { seasonOf, writtenDate } from '../../shared/basics/calendar.ts';
import { writtenFigure } from '../../shared/basics/written-figure.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { nutrientNames, nutrientSums, nutrients } from '../../shared/core/products/nutrient.ts';
import { nutrientsOf } from './applied-product.ts';
import { toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { LimitNow } from './limits-now.ts';
import { type GivenToField, nutrientsGiven } from './nutrients.ts';
import type { ProductDetails } from './products.ts';
import { date, number, once, type Period, type ReportTable, text } from './report-table.ts';

/** What each field was given of each nutrient in a period, with how far its limits are used on the last day of it or today. */
export async function nutrientsByField(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm, now } = context;
	const today = toLocalDate(now, farm.zone);
	const [to = today] = [today, period.to].sort();
	const givenTo = await nutrientsGiven(context, { from: period.from, to });
	const rows: ReportRow[] = [];
	const all: GivenToField['given'][number][] = [];
	let renamed = false;
	for (const field of await listFields(db, seasonOf(to, farm.seasonStartMonth), { farmedAfter: to })) {
		const { given, limits, hadOtherNames } = await givenTo(field);
		all.push(...given);
		renamed ||= hadOtherNames && given.length > 0;
		for (const nutrient of nutrients) {
			const brought = given.find((one) => one.nutrient === nutrient);
			const own = limits.filter(({ row, applies }) => row.nutrient === nutrient && applies);
			if (brought || own.length > 0)
				rows.push(...(own.length > 0 ? own : [null]).map((limit) => rowOf(field, { nutrient, brought, limit })));
		}
	}
	return {
		from: period.from,
		to,
		columns: [
			text('field', 'field', once),
			text('code', 'code', { under: 'field', bare: true }),
			text('crop', 'crop', { under: 'field', bare: true }),
			text('nutrient', 'nutrient'),
			number('kg', 'in all', 0, { unit: 'kg' }),
			number('kgPerHa', 'given', 1, { unit: 'kg/ha' }),
			number('share', 'of the limit', 0, { unit: '%', bar: true }),
			number('used', 'counts', 1, { unit: 'kg/ha' }),
			number('max', 'allowed', 1, { unit: 'kg/ha' }),
			number('left', 'left', 1, { unit: 'kg/ha' }),
			text('per', 'per', { under: 'max' }),
			date('since', 'since', { under: 'max' }),
			text('source', 'set by'),
		],
		rows,
		totals: null,
		notes: [
			...nutrientSums(all).flatMap(({ nutrient, kg }) =>
				kg === null ? [] : [`In all ${writtenFigure(kg, 0)} kg ${nutrient} in this period.`],
			),
			`Given and counted, kg/ha, on ground that every treatment of the field covered, as it stands on ${writtenDate(to)}.`,
			'Manure, slurry, grazing and whatever else has no job on these books is not in it.',
			...(renamed
				? [
						'Kilograms are those of the field’s own records, kg/ha count what its ground had under earlier names as well.',
					]
				: []),
			...(all.some(({ kg }) => kg === null) ? await uncounted(context) : []),
		],
	};
}

type Line = {
	readonly nutrient: (typeof nutrients)[number];
	readonly brought: GivenToField['given'][number] | undefined;
	readonly limit: LimitNow | null;
};

function rowOf({ field, crop }: FieldWithFigures, { nutrient, brought, limit }: Line): ReportRow {
	const used = limit?.used?.used ?? null;
	const max = limit?.row.maxKgPerHa ?? null;
	return {
		field: field.name,
		code: field.code,
		crop: crop?.crop ?? null,
		nutrient: `${nutrient}, ${nutrientNames[nutrient]}`,
		kg: brought ? brought.kg : 0,
		kgPerHa: brought ? brought.kgPerHa : 0,
		share: used === null || !max ? null : (100 * used) / max,
		used,
		max,
		left: used === null || max === null ? null : max - used,
		per: limit?.row.per ?? null,
		since: limit?.used?.since ?? null,
		source: limit && `${limit.row.source}${limit.row.fromMemory === 1 ? ', from memory' : ''}`,
	};
}

/** What stands in the way of a sum: a fertiliser without contents, or a content that needs a density. */
async function uncounted({ db }: QueryContext): Promise<string[]> {
	const products = await listProducts<ProductDetails>(db);
	const names = products
		.filter((product) => nutrientsOf(product, 1).some(({ kg }) => kg === null))
		.map(({ name }) => name);
	return names.length === 0
		? []
		: [
				`Not known: the nutrients of ${names.join(', ')}. Enter the content, and the relative density where it is by mass.`,
			];
}
