import { type FieldWithFigures, listFields } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listUses, type UseStored } from '../../db/modules/records.ts';
import { jobsIndoors } from '../../db/modules/spaces.ts';
import { addDays, seasonOf, writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { standingWaits, type Waits } from '../../shared/core/limits/standing-waits.ts';
import { earliestHarvest, reentryEnds } from '../../shared/core/limits/time-limits.ts';
import { endOfDay, startOfDay, toIso, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { alphabetical, date, type Period, type ReportTable, text, time } from './report-table.ts';

type Product = ProductRow<ProductDetails>;
type Treated = { readonly use: UseStored; readonly product: Product; readonly waits: Waits };
type Place = {
	readonly name: string;
	readonly code: string | null;
	readonly crop: { readonly crop: string } | null;
};
type Moment = { readonly date: string; readonly at: number };

/** A field sprayed within so many days is listed even where no waiting time is on the books: common practice. */
const FRESH_DAYS = 3;

/** Nobody harvests in a store, and no livestock grazes there. */
const NOT_INDOORS = { livestockDays: null, harvestDays: null };

/** What holds on the fields, and in closed spaces, at this moment: no entry, livestock off, harvest, next treatment. For the yard door. */
export async function todayOnFields(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm } = context;
	const moment = momentIn(context, period);
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const back = Math.max(FRESH_DAYS, ...[...products.values()].map(longestWait));
	const uses = await listUses(db, { from: addDays(moment.date, -back), to: moment.date });
	const seasons = new Map<number, Map<string, FieldWithFigures>>();
	for (const season of new Set([...uses.map(({ season }) => season), seasonOf(moment.date, farm.seasonStartMonth)])) {
		seasons.set(season, new Map((await listFields(db, season)).map((row) => [row.field.id, row])));
	}
	const rows: ReportRow[] = [];
	for (const [fieldId, own] of Map.groupBy(uses, (use) => use.fieldId)) {
		if (fieldId === null) continue;
		const treated = own.flatMap((use): Treated[] => {
			const product = products.get(use.productId);
			const crop = seasons.get(use.season)?.get(fieldId)?.crop;
			const names = crop ? [crop.eppoCode, crop.crop].filter((name) => name !== null) : [];
			return product ? [{ use, product, waits: standingWaits(product.limits, names) }] : [];
		});
		const newest = treated.at(-1);
		const row = newest && seasons.get(newest.use.season)?.get(fieldId);
		const line = row && lineOf({ ...row.field, crop: row.crop }, treated, { ...moment, zone: farm.zone });
		if (line) rows.push(line);
	}
	const indoors = await jobsIndoors(db);
	const inside = uses.flatMap((use) => {
		const space = indoors.get(use.jobId)?.get(use.fieldName);
		const product = products.get(use.productId);
		if (!space || !product) return [];
		return [{ space, use, product, waits: { ...standingWaits(product.limits, []), ...NOT_INDOORS } }];
	});
	for (const treated of Map.groupBy(inside, ({ space }) => space.id).values()) {
		const [first] = treated;
		const line =
			first && lineOf({ name: first.space.name, code: null, crop: null }, treated, { ...moment, zone: farm.zone });
		if (line) rows.push(line);
	}
	rows.sort((a, b) => alphabetical(String(a['field']), String(b['field'])));
	return {
		from: moment.date,
		to: moment.date,
		columns: [
			text('field', 'field'),
			text('code', 'code', { under: 'field', bare: true }),
			text('crop', 'crop', { under: 'field', bare: true }),
			date('treatedOn', 'last treated'),
			text('treatedWith', 'with', { under: 'treatedOn' }),
			date('entryOn', 'no entry until'),
			time('entryAt', 'at', { under: 'entryOn' }),
			text('entryFor', 'for', { under: 'entryOn' }),
			text('entryUnknown', 'label to be read for', { under: 'entryOn' }),
			date('livestockOn', 'livestock off until'),
			text('livestockFor', 'for', { under: 'livestockOn' }),
			date('harvestOn', 'harvest from'),
			text('harvestFor', 'for', { under: 'harvestOn' }),
			date('againOn', 'treated again from'),
			text('againFor', 'with', { under: 'againOn' }),
			text('againBefore', 'before that', { under: 'againOn' }),
		],
		rows,
		totals: null,
		notes: [
			`As it stands at ${toIso(moment.at, farm.zone).slice(11, 16)} on ${writtenDate(moment.date)}.`,
			'Fields and closed spaces not listed have no waiting time on the books. A limit nobody entered is not known here: read the label.',
		],
	};
}

/** Now, where the period holds it; else the end of a past period or the start of a coming one. */
function momentIn({ now, farm }: QueryContext, { from, to }: Period): Moment {
	const today = toLocalDate(now, farm.zone);
	if (today > to) return { date: to, at: endOfDay(to, farm.zone) };
	if (today < from) return { date: from, at: startOfDay(from, farm.zone) };
	return { date: today, at: now };
}

function longestWait({ limits }: Product): number {
	const { reentryH, livestockDays, harvestDays, interval } = standingWaits(limits, []);
	return Math.ceil(Math.max((reentryH ?? 0) / 24 + 1, livestockDays ?? 0, harvestDays ?? 0, interval?.days ?? 0));
}

/** The line of one field or closed space; null where nothing holds and nothing is fresh. */
function lineOf(
	{ name, code, crop }: Place,
	treated: readonly Treated[],
	{ date: today, at, zone }: Moment & { readonly zone: string },
): ReportRow | null {
	const entry = latest(treated, ({ use, waits }) =>
		waits.reentryH === null ? null : reentryEnds(use.finishedAt, waits.reentryH),
	);
	const livestock = latest(treated, ({ use, waits }) =>
		waits.livestockDays === null ? null : addDays(use.sprayDate, waits.livestockDays),
	);
	const harvest = latest(treated, ({ use, waits }) =>
		waits.harvestDays === null ? null : earliestHarvest(use.sprayDate, waits.harvestDays),
	);
	const again = nextTreatments(treated).filter(([, from]) => from > today);
	const fresh = treated.filter(({ use }) => use.sprayDate > addDays(today, -FRESH_DAYS));
	const unread = new Set(fresh.filter(({ waits }) => waits.reentryH === null).map(({ product }) => product.name));
	const noEntry = entry && entry.value > at ? entry : null;
	const noLivestock = livestock && livestock.value > today ? livestock : null;
	const noHarvest = harvest && harvest.value > today ? harvest : null;
	if (!noEntry && !noLivestock && !noHarvest && again.length === 0 && fresh.length === 0) return null;
	const last = treated.at(-1)?.use.sprayDate ?? null;
	const lastWith = treated.filter(({ use }) => use.sprayDate === last).map(({ product }) => product.name);
	return {
		field: name,
		code,
		crop: crop?.crop ?? null,
		treatedOn: last,
		treatedWith: [...new Set(lastWith)].join(', '),
		entryOn: noEntry && toLocalDate(noEntry.value, zone),
		entryAt: noEntry && toIso(noEntry.value, zone),
		entryFor: noEntry?.product ?? null,
		entryUnknown: unread.size > 0 ? [...unread].join(', ') : null,
		livestockOn: noLivestock?.value ?? null,
		livestockFor: noLivestock?.product ?? null,
		harvestOn: noHarvest?.value ?? null,
		harvestFor: noHarvest?.product ?? null,
		againOn: again[0]?.[1] ?? null,
		againFor: again[0]?.[0] ?? null,
		againBefore:
			again
				.slice(1)
				.map(([name, from]) => `${name} ${writtenDate(from)}`)
				.join(', ') || null,
	};
}

/** The wait that ends last, with its product. */
function latest<Value extends number | string>(
	treated: readonly Treated[],
	ends: (one: Treated) => Value | null,
): { readonly value: Value; readonly product: string } | null {
	let found: { value: Value; product: string } | null = null;
	for (const one of treated) {
		const value = ends(one);
		if (value !== null && (found === null || value > found.value)) found = { value, product: one.product.name };
	}
	return found;
}

/** From when a product, or every product with the substance or group its label names, may follow; the last first. */
function nextTreatments(treated: readonly Treated[]): [name: string, from: string][] {
	const next = new Map<string, string>();
	for (const { use, product, waits } of treated) {
		if (waits.interval === null) continue;
		const name = waits.interval.of ?? product.name;
		const from = addDays(use.sprayDate, waits.interval.days);
		if (from > (next.get(name) ?? '')) next.set(name, from);
	}
	return [...next].sort(([a, onA], [b, onB]) => (onA === onB ? alphabetical(a, b) : onA < onB ? 1 : -1));
}
