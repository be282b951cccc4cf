import { type FieldWithFigures, fieldsWithParents, listFields } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { seasonDates, seasonOf, writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { appliesToCrop } from '../../shared/core/limits/check-limits.ts';
import type { PlannedProduct } from '../../shared/core/limits/limit.ts';
import { sumKinds, type UsedSoFar, usedSoFar } from '../../shared/core/limits/sum-limits.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied } from './applied-product.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import { historyOf, usesLookedAt, wantedOf, wantedOfNutrients } from './field-history.ts';
import { limitedIn, limitsByField } from './field-limits.ts';
import { forebearsOf } from './field-lineage.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { type Asked, limitsNow, nothingMore } from './limits-now.ts';
import type { ProductDetails } from './products.ts';
import { usedInSpaces } from './report-spaces.ts';
import { alphabetical, date, number, once, type Period, type ReportTable, text } from './report-table.ts';
import { entriesSummed, type SownTreatment, sownOn } from './seed-sowings.ts';

type Product = ProductRow<ProductDetails>;

/** Less than this share of a limit is not worth a line. */
const LEAST_SHARE = 50;
const ALL = Number.MAX_SAFE_INTEGER;

/** What is used of every limit that adds up several treatments, field by field, on the last day asked for or today. */
export async function limitsUsed({ db, farm, now }: QueryContext, period: Period): Promise<ReportTable> {
	const today = toLocalDate(now, farm.zone);
	const [on = today] = [today, period.to].sort();
	const season = seasonOf(on, farm.seasonStartMonth);
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const limits = await limitsByField(db);
	const wanted = wantedOf(products, limitedIn(limits));
	const uses = await usesLookedAt(db, { from: on, to: on }, { products, wanted });
	const sown = (await sownOn(db)).map((one) => ({ ...one, at: startOfDay(one.date, farm.zone) }));
	const history = historyOf(uses, { products, wanted, measureStep: farm.measureStep, sown, overlap: 'yes' });
	const asked = { date: on, at: endOfDay(on, farm.zone), season: seasonDates(season, farm.seasonStartMonth) };
	const withParents = await fieldsWithParents(db);
	const rows: ReportRow[] = [];
	for (const row of await listFields(db, season, { farmedAfter: on })) {
		const { id } = row.field;
		const fieldHa = toHectares(loadFor(row).m2 ?? 0);
		// A field that came out of others carries what was sprayed on its ground under their names.
		const forebears = withParents.has(id) ? await forebearsOf(db, id, fieldHa) : [];
		const before = [id, ...forebears.map((forebear) => forebear.id)].flatMap((name) => history.get(name) ?? []);
		const used = [...products.values()].flatMap((product) => {
			const look = wanted.get(product.id);
			const since = { at: asked.at, jobId: '', date: on };
			const earlier = look ? before.flatMap((one) => one.before(since, [look])) : [];
			return usedBy(product, row, { ...asked, history: earlier });
		});
		const onField = limits.get(id) ?? [];
		const look = wantedOfNutrients(onField.map(({ nutrient }) => nutrient));
		const given = before.flatMap((one) => one.before({ at: asked.at, jobId: '', date: on }, [look]));
		const ofField = limitsNow(onField, row, { ...asked, history: given }).flatMap(({ limit, used: sofar }) =>
			sofar ? worthTelling({ ...sofar, name: sofar.what, source: limit.source }) : [],
		);
		rows.push(
			...[...onceEach(used), ...ofField].map((one) => rowOf(one, { ...row.field, crop: row.crop?.crop ?? null }, sown)),
		);
	}
	for (const { space, code, product, source, used } of await usedInSpaces(db, asked)) {
		const [told] = worthTelling({ ...used, name: `${product}, ${used.what}`, source });
		if (told) rows.push(rowOf(told, { name: space, code, crop: null }, sown));
	}
	rows.sort((a, b) => alphabetical(String(a['field']), String(b['field'])) || Number(b['share']) - Number(a['share']));
	return {
		from: period.from,
		to: on,
		columns: [
			text('field', 'field', once),
			text('code', 'code', { under: 'field', bare: true }),
			text('crop', 'crop', { under: 'field', bare: true }),
			text('limit', 'limit'),
			text('per', 'per', { under: 'limit' }),
			date('since', 'since', { under: 'limit' }),
			text('source', 'limit from', { under: 'limit', bare: true }),
			number('share', 'used', 0, { unit: '%', bar: true }),
			number('used', 'comes to', 2, { unitFrom: 'unit' }),
			number('max', 'allowed', 2, { unitFrom: 'unit' }),
			number('left', 'left', 2, { unitFrom: 'unit' }),
			text('unit', 'unit'),
			text('records', 'entries summed'),
		],
		rows,
		totals: null,
		notes: [
			`As it stands on ${writtenDate(on)}, on ground that every treatment of the field covered; of closed spaces the number of treatments.`,
			`Limits of which less than ${LEAST_SHARE} % is used are not listed, nor are limits nobody entered: read the label.`,
		],
	};
}

type Used = UsedSoFar & { readonly name: string; readonly source: string };

/** The limits of one product that earlier treatments of the field count under. */
function usedBy(product: Product, field: FieldWithFigures, { date: on, history, season }: Asked): Used[] {
	if (history.length === 0) return [];
	const planned: PlannedProduct = { ...applied(product, 0), limits: product.limits };
	const application = nothingMore(field, { date: on, history, season }, [planned]);
	return product.limits
		.filter(({ kind }) => sumKinds.some((name) => name === kind))
		.filter((limit) => appliesToCrop(limit, application))
		.flatMap((limit): Used[] => {
			const used = usedSoFar({ limit, application, product: planned });
			if (!used) return [];
			const ofProduct = limit.kind === 'totalDose' || (limit.kind === 'treatments' && !limit.substance && !limit.group);
			const name = ofProduct ? `${product.name}, ${used.what}` : used.what;
			return worthTelling({ ...used, name, source: limit.source });
		});
}

function worthTelling(used: Used): Used[] {
	return used.max <= 0 || (100 * used.used) / used.max < LEAST_SHARE ? [] : [used];
}

/** A limit on a substance or a group stands on every label that carries it: once is enough, the tightest. */
function onceEach(used: readonly Used[]): Used[] {
	const tightest = new Map<string, Used>();
	for (const one of used) {
		const key = `${one.name} ${one.per}`;
		const known = tightest.get(key);
		if ((known?.max ?? ALL) > one.max) tightest.set(key, one);
	}
	return [...tightest.values()];
}

type Place = { readonly name: string; readonly code: string | null; readonly crop: string | null };

function rowOf(used: Used, place: Place, sown: readonly SownTreatment[]): ReportRow {
	const { name, source, per, since, max, unit, records } = used;
	return {
		field: place.name,
		code: place.code,
		crop: place.crop,
		limit: name,
		source,
		per,
		since,
		share: (100 * used.used) / max,
		used: used.used,
		max,
		left: max - used.used,
		unit: unit === 'treatments' ? null : unit,
		records: entriesSummed(records, sown),
	};
}
