import type { FieldLimitStored } from '../../db/modules/field-limits.ts';
import { type FieldWithFigures, fieldsWithParents, listFields } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { isLocalDate, seasonDates, writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { checkLimits } from '../../shared/core/limits/check-limits.ts';
import {
	type Begun,
	type Finding,
	figure,
	type GroundCondition,
	isKeptAfterwards,
	type Limit,
	overlapByArea,
	type PlannedProduct,
	type Verdict,
} from '../../shared/core/limits/limit.ts';
import { limitsOfKind } from '../../shared/core/limits/limits-of-kind.ts';
import { isReducible, type MarginKept } from '../../shared/core/limits/margin-kept.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied, asPlanned, authorisationOf } from './applied-product.ts';
import { marginsIn } from './assessed-records.ts';
import { hourOf, startOfDay } from './clock.ts';
import { dosePut } from './dose-put.ts';
import { conditionsByField } from './field-conditions.ts';
import { type Dated, type FieldHistory, historyOf, usesLookedAt, type Wanted, wantedOf } from './field-history.ts';
import { asLimit, limitedIn, limitsByField } from './field-limits.ts';
import { forebearsOf } from './field-lineage.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { perSeedWords } from './job-kinds.ts';
import { limitNames } from './limit-names.ts';
import { concernsWashings } from './limits.ts';
import { nextCropsIn } from './next-crops.ts';
import type { ProductDetails } from './products.ts';
import { recordDetails } from './records.ts';
import { reviewOfSpaces } from './report-spaces.ts';
import { date, number, once, type Period, type ReportTable, text } from './report-table.ts';
import { type ReviewedRecord, type ReviewedRecords, reviewedRecords } from './reviewed-records.ts';
import { entriesSummed, type SownTreatment, sownOn } from './seed-sowings.ts';

type Product = ProductRow<ProductDetails>;
type Books = {
	readonly products: ReadonlyMap<string, Product>;
	/** The register by season and field. */
	readonly fields: ReadonlyMap<number, ReadonlyMap<string, FieldWithFigures>>;
	readonly farm: Pick<FarmRow, 'seasonStartMonth' | 'measureStep'>;
	/** What is set for each field itself. */
	readonly limits: ReadonlyMap<string, readonly FieldLimitStored[]>;
	/** What was answered about the ground of each field. */
	readonly conditions: ReadonlyMap<string, readonly GroundCondition[]>;
	/** What the limits of each product look back at. */
	readonly wanted: ReadonlyMap<string, Wanted>;
	readonly sown: readonly SownTreatment[];
	readonly nextCrops: ReadonlyMap<number, Awaited<ReturnType<typeof nextCropsIn>>>;
	readonly shrunk: ReviewedRecords['shrunk'];
};

type Line = ReviewedRecord;

const order: readonly Verdict[] = ['block', 'warn', 'ask'];
const words: Partial<Record<Verdict, string>> = { block: 'exceeded', warn: 'to be looked at', ask: 'to be answered' };

/** Every limit that the treatments of a period went over, or that could not be told, each as it stood when it was sprayed. */
export async function limitReview({ db, farm }: QueryContext, period: Period): Promise<ReportTable> {
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const limits = await limitsByField(db);
	const wanted = wantedOf(products, limitedIn(limits));
	const uses = await usesLookedAt(db, period, { products, wanted });
	const { all, later, laterDoses, shrunk } = await reviewedRecords(db, period, products);
	const records = all.filter(({ fieldId }) => fieldId !== null);
	const fields = new Map<number, Map<string, FieldWithFigures>>();
	const nextCrops = new Map<number, Awaited<ReturnType<typeof nextCropsIn>>>();
	const sown = (await sownOn(db)).map((one) => ({ ...one, at: startOfDay(one.date, farm.zone) }));
	const sownNow = sown.filter(({ date }) => date >= period.from && date <= period.to);
	for (const season of new Set([...records, ...later, ...sownNow].map((row) => row.season))) {
		fields.set(season, new Map((await listFields(db, season)).map((row) => [row.field.id, row])));
		nextCrops.set(season, await nextCropsIn(db, season));
	}
	const conditions = await conditionsByField(db);
	const books: Books = { products, fields, limits, conditions, farm, wanted, sown, nextCrops, shrunk };
	const history = historyOf(uses, { products, wanted, measureStep: farm.measureStep, sown });
	const together = Map.groupBy(records, withItsPass(records));
	const within = uses.filter(({ sprayDate }) => sprayDate >= period.from);
	const doses = new Map(within.map(({ seq, plannedDose }) => [seq, plannedDose]));
	const withParents = await fieldsWithParents(db);
	const found: { finding: Finding; of: Told }[] = [];
	const reviewed = [
		...[...together.values()].flatMap((lines) => sprayed(lines, { books, doses })),
		...[...Map.groupBy(sownNow, ({ sowingId }) => sowingId).values()].flatMap((lines) => sowed(lines, products)),
	];
	const look = async (of: Reviewed): Promise<Finding[]> => {
		const { fieldId, areaHa } = of;
		const forebears = withParents.has(fieldId) ? await forebearsOf(db, fieldId, areaHa) : [];
		const earlier = forebears.flatMap(({ id, fieldHa, leastHa }) => {
			const own = history.get(id);
			return own ? [{ history: own, on: { fieldHa, firstHa: leastHa } }] : [];
		});
		const own = history.get(fieldId);
		const before: Before[] = own ? [{ history: own }, ...earlier] : earlier;
		return findingsOf(of, { before, books });
	};
	for (const of of reviewed) found.push(...(await look(of)).map((finding) => ({ finding, of })));
	const beyond: typeof found = [];
	for (const lines of Map.groupBy(later, withItsPass(later)).values()) {
		for (const of of sprayed(lines, { books, doses: laterDoses })) {
			const tooSoon = (await look(of)).filter((finding) => comesTooSoon(finding, records));
			beyond.push(...tooSoon.map((finding) => ({ finding, of })));
		}
	}
	const spaces = await reviewOfSpaces({ db, farm }, all);
	for (const { first, lines, findings } of spaces) {
		const entries = new Map(lines.toReversed().map((line) => [line.productId, entryOf(line)]));
		const of = { date: first.sprayDate, field: first.fieldName, entries };
		found.push(...findings.filter(isTold).map((finding) => ({ finding, of })));
	}
	const many = reviewed.length + spaces.length;
	const rows = [...found, ...beyond]
		.sort(
			(a, b) =>
				order.indexOf(a.finding.verdict) - order.indexOf(b.finding.verdict) ||
				compare(a.of.date, b.of.date) ||
				compare(a.of.field, b.of.field),
		)
		.map(({ finding, of }) => rowOf(finding, of, books));
	return {
		columns: [
			text('verdict', 'finding', once),
			date('date', 'date', once),
			text('field', 'field'),
			text('crop', 'crop', { under: 'field', bare: true }),
			text('product', 'product', once),
			text('kind', 'limit', once),
			text('limit', 'allowed', once),
			text('value', 'came to', once),
			text('say', 'in words', once),
			text('records', 'entries summed'),
			number('entry', 'entry', 0),
			text('source', 'limit from', once),
			text('overrideWhy', 'reason given', once),
		],
		rows,
		totals: null,
		notes: [
			`Held against the limits on the books, each with what was sprayed before it on the same ground or in the same space: ${many} ${many === 1 ? 'treatment' : 'treatments'}.`,
			...(beyond.length > 0
				? ['A second treatment in the days after the period is listed where a reduced dose within it made it wait.']
				: []),
			...(all.some((line) => line.fieldId === null && recordDetails(line).space === null)
				? ['Treated seed is held against the limits of the ground where it was sown, from that day on.']
				: []),
			'Limits nobody entered are not known and not listed. Re-entry and livestock times stand in the report “today”.',
		],
	};
}

/** What lay on the field, or under an earlier name on its ground. */
type Before = { readonly history: FieldHistory; readonly on?: NonNullable<Dated['on']> };

/** One treatment that is looked back at: a job on a field on a day, or treated seed that was sown there. */
type Reviewed = {
	readonly fieldId: string;
	readonly field: string;
	readonly jobId: string;
	readonly date: string;
	readonly season: number;
	readonly at: number;
	/** Load by load; a sowing has no hour. */
	readonly begun?: readonly Begun[];
	readonly areaHa: number;
	readonly crop: readonly string[];
	readonly growthStage: string | null;
	readonly bufferM: number | null;
	readonly margins?: readonly MarginKept[] | undefined;
	readonly sprayVolumeLPerHa: number | null;
	readonly products: readonly PlannedProduct[];
	/** What stands on the books of it, by product: the number of the entry, crop and reason. */
	readonly entries: ReadonlyMap<string, Entry>;
};
/** What a line of the report tells of a treatment: on a field, or in a closed space. */
type Told = Pick<Reviewed, 'date' | 'field' | 'entries'>;
type Entry = { readonly seq: number | null; readonly crop: string | null; readonly overrideWhy: string | null };

type Recorded = {
	readonly books: Books;
	/** Planned, by entry. */
	readonly doses: ReadonlyMap<number, number | null>;
};

/** Ground of one job on one field: of the product that covered most; of washings by themselves, where they lie. */
function areaOf(lines: readonly Line[]): number {
	const byProduct = [...Map.groupBy(lines, ({ productId }) => productId).values()];
	const treated = byProduct.map((own) => toHectares(own.reduce((sum, { treatedM2 }) => sum + treatedM2, 0)));
	return Math.max(...treated) || toHectares(Math.max(...lines.map(({ washedM2 }) => washedM2 ?? 0)));
}

/** One job on one field on one day; washings over sprayed ground go with the pass they lie on. */
function withItsPass(records: readonly Line[]): (line: Line) => string {
	const passes = new Map<string, string>();
	for (const { jobId, fieldId, sprayDate, washedM2 } of records) {
		if (washedM2 === null) passes.set(`${jobId} ${fieldId}`, sprayDate);
	}
	return ({ jobId, fieldId, sprayDate, washedM2, treatedM2 }) => {
		const pass = `${jobId} ${fieldId}`;
		const onTop = washedM2 !== null && treatedM2 === 0;
		return `${pass} ${onTop ? (passes.get(pass) ?? sprayDate) : sprayDate}`;
	};
}

/** The dose of one product in one go: the largest of its loads, with washings on top where they were put on it. */
function doseOf(own: readonly Line[], planned: number, measureStep: number): number {
	const sum = (lines: readonly Line[], of: (line: Line) => number) =>
		lines.reduce((total, line) => total + of(line), 0);
	// Each load has ground of its own: a mean over the field would hide the one that was too strong.
	const ofLoads = own
		.filter(({ washedM2, treatedM2 }) => washedM2 === null && treatedM2 > 0)
		.map((line) => asPlanned(dosePut(line), { planned, stepPerHa: measureStep / toHectares(line.treatedM2) }));
	const onPass = own.filter(({ washedM2, treatedM2 }) => washedM2 !== null && treatedM2 === 0);
	const beside = own.filter(({ washedM2, treatedM2 }) => washedM2 !== null && treatedM2 > 0);
	return Math.max(Math.max(0, ...ofLoads) + sum(onPass, dosePut), ...beside.map(dosePut));
}

function sprayed(lines: readonly Line[], { books, doses }: Recorded): Reviewed[] {
	const [first] = lines;
	if (!first?.fieldId) return [];
	const at = Math.min(...lines.map((line) => line.startedAt));
	const { kind, crop, eppoCode, growthStage, bufferM, sprayVolumeLPerHa, zone } = recordDetails(first);
	const byProduct = Map.groupBy(lines, ({ productId }) => productId);
	// Washings by themselves are no treatment that a label sets volume, stage or number for.
	const passes = lines.filter(({ washedM2 }) => washedM2 === null);
	const onlyWashed = passes.length === 0;
	const products = [...byProduct].flatMap(([productId, own]): PlannedProduct[] => {
		const product = books.products.get(productId);
		if (!product) return [];
		const planned = doses.get(own[0]?.seq ?? 0) ?? 0;
		const dose = doseOf(own, planned, books.farm.measureStep);
		const limits = limitsOfKind(kind, [...product.limits, ...authorisationOf(product)]);
		return [{ ...applied(product, dose), limits: onlyWashed ? limits.filter(concernsWashings) : limits }];
	});
	return [
		{
			fieldId: first.fieldId,
			field: first.fieldName,
			jobId: first.jobId,
			date: first.sprayDate,
			season: first.season,
			at,
			begun: begunIn(lines, products, zone),
			areaHa: areaOf(lines),
			crop: [eppoCode, crop].filter((name) => name !== null),
			growthStage,
			bufferM,
			margins: marginsIn(passes, products),
			sprayVolumeLPerHa,
			products,
			entries: new Map(
				[...byProduct].flatMap(([productId, own]) => {
					const one = strongest(own);
					return one ? [[productId, entryOf(one)] as const] : [];
				}),
			),
		},
	];
}

/** How loads and washings began, where a label asks; what was in flower as the records of its product have it. */
function begunIn(lines: readonly Line[], products: readonly PlannedProduct[], zone: string): Begun[] {
	const withLimit = (isAsking: (limit: Limit) => boolean) =>
		products.filter(({ limits }) => limits.some(isAsking)).map(({ productId }) => productId);
	const asking = withLimit(({ kind }) => kind === 'flowering');
	const ids = asking.length > 0 ? asking : withLimit((limit) => limit.kind === 'timeOfDay' || isReducible(limit));
	const loads = new Map<string, Begun>();
	for (const line of lines.filter(({ productId }) => ids.includes(productId))) {
		const inFlower = asking.length === 0 ? null : recordDetails(line).flowering;
		const key = `${line.startedAt} ${inFlower ?? ''}`;
		if (!loads.has(key)) loads.set(key, { hour: hourOf(line.startedAt, zone), inFlower });
	}
	return [...loads.values()];
}

/** The line a finding is read from: of the load with the largest dose, the first of those that are alike. */
function strongest(own: readonly Line[]): Line | undefined {
	const passes = own.filter(({ washedM2 }) => washedM2 === null);
	const doses = passes.map(dosePut);
	return passes[doses.indexOf(Math.max(...doses))] ?? own[0];
}

function entryOf(line: Line): Entry {
	const { crop, overrideWhy } = recordDetails(line);
	return { seq: line.seq, crop, overrideWhy };
}

function sowed(lines: readonly (SownTreatment & { readonly at: number })[], known: Books['products']): Reviewed[] {
	const [first] = lines;
	if (!first) return [];
	const { fieldId, field, jobId, date, season, at, areaHa, seed } = first;
	const products = lines.flatMap(({ productId, dosePerHa, doseOnSeed }): PlannedProduct[] => {
		const product = known.get(productId);
		if (!product) return [];
		const limits = limitsOfKind('seed treatment', [...product.limits, ...authorisationOf(product)]);
		const seedDose = { amount: doseOnSeed, unit: perSeedWords(product.unit, seed.unit) };
		return [{ ...applied(product, dosePerHa), seedDose, limits }];
	});
	const crop = [seed.eppoCode, seed.crop].filter((name) => name !== undefined);
	const entry = { seq: null, crop: seed.crop, overrideWhy: null };
	const nothing = { growthStage: null, bufferM: null, sprayVolumeLPerHa: null };
	const entries = new Map(lines.map(({ productId }) => [productId, entry]));
	return [{ fieldId, field, jobId, date, season, at, areaHa, crop, ...nothing, products, entries }];
}

type Beside = { readonly before: readonly Before[]; readonly books: Books };

/** One treatment against the limits, with what lay before it. */
function findingsOf(of: Reviewed, { before, books }: Beside): Finding[] {
	const row = books.fields.get(of.season)?.get(of.fieldId);
	if (!row) return [];
	const { areaHa, products, bufferM } = of;
	const fieldHa = toHectares(loadFor(row).m2 ?? 0) || areaHa;
	const strips = row.strips.flatMap(({ kind, widthM }) => (kind === 'strip' && widthM ? [widthM] : []));
	const wanted = products.flatMap(({ productId }) => books.wanted.get(productId) ?? []);
	const earlier = before.flatMap(({ history, on }) =>
		history.before(of, wanted).map((treatment) => (on ? { ...treatment, on } : treatment)),
	);
	const found = checkLimits({
		ground: {
			fieldId: of.fieldId,
			crop: of.crop,
			cropFrom: row.crop?.sownOn ?? null,
			cropTo: row.crop?.harvestOn ?? null,
			season: seasonDates(of.season, books.farm.seasonStartMonth),
			growthStage: of.growthStage,
			harvestOn: row.crop?.harvestOn ?? null,
			bufferM: bufferM ?? (strips.length > 0 ? Math.min(...strips) : null),
			margins: of.margins,
			next: books.nextCrops.get(of.season)?.({ fieldId: of.fieldId, date: of.date, crop: row.crop }),
			conditions: books.conditions.get(of.fieldId),
		},
		date: of.date,
		begun: of.begun,
		sprayVolumeLPerHa: of.sprayVolumeLPerHa,
		products,
		history: earlier.map((other) => ({
			...other,
			shrunkUntil: books.shrunk.get(other.recordId),
			overlap: overlapByArea({ ...(other.on ?? { fieldHa, firstHa: areaHa }), secondHa: other.areaHa }),
		})),
		rules: (books.limits.get(of.fieldId) ?? []).map(asLimit),
	});
	return found.filter(isTold);
}

/** The second treatment within 48 h of one of these, which made the distance smaller at a reduced dose. */
function comesTooSoon({ kind, records }: Finding, first: readonly Line[]): boolean {
	return kind === 'buffer' && first.some(({ seq }) => records.includes(String(seq)));
}

function isTold(finding: Finding): boolean {
	return order.includes(finding.verdict) && !isKeptAfterwards(finding);
}

function rowOf(finding: Finding, { date: on, field, entries }: Told, books: Books): ReportRow {
	const own = entries.get(finding.productId ?? '') ?? [...entries.values()][0];
	const shown = (value: number | string | null) => {
		if (value === null) return null;
		const unit = finding.unit === 'treatments' && value === 1 ? 'treatment' : (finding.unit ?? '');
		const said = typeof value === 'number' ? figure(value) : isLocalDate(value) ? writtenDate(value) : value;
		return `${said} ${unit}`.trim();
	};
	return {
		verdict: words[finding.verdict] ?? finding.verdict,
		date: on,
		field,
		crop: own?.crop ?? null,
		product: books.products.get(finding.productId ?? '')?.name ?? null,
		kind: limitNames[finding.kind],
		limit: shown(finding.limit),
		value: shown(finding.value),
		say: finding.say,
		records: entriesSummed(finding.records, books.sown),
		entry: own?.seq ?? null,
		source: finding.source,
		overrideWhy: own?.overrideWhy ?? null,
	};
}

function compare(a: string | undefined, b: string | undefined): number {
	return (a ?? '') < (b ?? '') ? -1 : (a ?? '') > (b ?? '') ? 1 : 0;
}
