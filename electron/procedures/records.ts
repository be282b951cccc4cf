import type { z } from 'zod';
import { findProducts, listProducts, type ProductRow } from '../../db/modules/products.ts';
import { addRecords, listRecords, type RecordStored, recordVersions } from '../../db/modules/records.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { AssessedMargins, type MarginEntered } from '../../shared/contract/jobs-margins.ts';
import type { RecordLine } from '../../shared/contract/records.ts';
import type { Weather } from '../../shared/contract/weather.ts';
import type { Assessed } from '../../shared/core/limits/margin-kept.ts';
import type { ApplicationKind } from '../../shared/core/loads/application-kind.ts';
import { amountOnGround } from '../../shared/core/loads/share-on-ground.ts';
import {
	type Confined,
	keepUntil,
	missingItems,
	type RecordFacts,
	ruleSetOf,
	ruleSets,
	type UseType,
	writeBy,
} from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { nutrientDoses } from './applied-product.ts';
import { toIso } from './clock.ts';
import { earlierFields } from './field-lineage.ts';
import { given } from './given.ts';
import type { CommandContext, QueryContext } from './handler.ts';
import { assessedFor, keptMargin } from './margins.ts';
import type { ProductDetails } from './products.ts';

export type WeatherSeen = z.output<typeof Weather>;

/** What a record holds beside its columns. */
export type RecordDetails = {
	readonly formulation: string;
	readonly authorisationNo: string | null;
	readonly dosePerHa: number | null;
	readonly crop: string | null;
	readonly eppoCode: string | null;
	readonly useType: UseType;
	readonly kind: ApplicationKind;
	/** Liquid fertiliser it was sprayed in. */
	readonly carrier: string | null;
	readonly seed: RecordLine['seed'];
	readonly space: RecordLine['space'];
	/** Of washings: what was sprayed out there, water and mix. */
	readonly washings: { readonly litres: number } | null;
	/** Only a plant protection product has one to be given. */
	readonly needsAuthorisation: boolean;
	/** What the product's limits confine: the rules then ask for it. */
	readonly confined: readonly Confined[];
	/** When the first version was written, UTC milliseconds. */
	readonly createdAt: number;
	readonly growthStage: string | null;
	readonly reason: string | null;
	readonly certificateNo: string | null;
	readonly operator: string;
	readonly sprayer: string;
	readonly sprayVolumeLPerHa: number | null;
	readonly weather: WeatherSeen | null;
	readonly bufferM: number | null;
	/** Distances kept, margin by margin, as they were assessed. Left out: none was. */
	readonly assessed?: Assessed;
	readonly flowering: string | null;
	/** Neighbours and beekeepers who were told. */
	readonly told: string | null;
	/** UTC milliseconds; null: the product has no re-entry time. */
	readonly noEntryUntil: number | null;
	readonly harvestFrom: string | null;
	readonly nozzle: string | null;
	readonly zone: string;
	readonly overrideWhy: string | null;
	/** Limit findings that stood when it was logged, in words. */
	readonly findings: readonly string[];
	/** Of the amount that was logged, L or kg, what stayed in sump and lines: the dose is without it. Left out: nothing. */
	readonly stayed?: { readonly stayed: number; readonly logged: number };
};

type Filter = {
	readonly from?: string | undefined;
	readonly to?: string | undefined;
	readonly fieldId?: string | undefined;
	readonly ground?: boolean | undefined;
	readonly jobId?: string | undefined;
	readonly entry?: number | undefined;
	readonly reversed: boolean;
};

/** The line of a record, with the nutrients its product holds by the books. */
type LineOf = (row: RecordStored) => RecordLine;

async function linesFor({ db, farm }: QueryContext): Promise<LineOf> {
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	return (row) => recordLine(row, farm, products.get(row.productId));
}

export async function listRecordLines(context: QueryContext, filter: Filter): Promise<Result<RecordLine[]>> {
	const { fieldId } = filter;
	if (filter.ground && fieldId) return ok(await linesOfGround(context, { ...filter, fieldId }));
	return ok((await listRecords(context.db, filter)).map(await linesFor(context)));
}

/** What was put on a field and, under the names its ground had before, on that ground, each with how much of it lies here. */
async function linesOfGround(
	context: QueryContext,
	filter: Filter & { readonly fieldId: string },
): Promise<RecordLine[]> {
	const { db } = context;
	const lineOf = await linesFor(context);
	const lines = (await listRecords(db, filter)).map(lineOf);
	for (const { id, wholeM2, sharedM2 } of await earlierFields(db, filter.fieldId)) {
		const before = await listRecords(db, { ...filter, fieldId: id });
		for (const row of before) {
			const here =
				sharedM2 === null ? {} : { onGround: partHere(row.washedM2 ?? row.treatedM2, wholeM2 ?? sharedM2, sharedM2) };
			lines.push({ ...lineOf(row), ...here });
		}
	}
	return lines.sort((a, b) => (a.date === b.date ? 0 : a.date < b.date ? 1 : -1));
}

/** A pass lies somewhere on its field: at least what the rest of the field has no room for, at most all of it. */
function partHere(treatedM2: number, wholeM2: number, sharedM2: number) {
	return {
		leastHa: toHectares(Math.max(0, treatedM2 - Math.max(0, wholeM2 - sharedM2))),
		mostHa: toHectares(Math.min(treatedM2, sharedM2)),
	};
}

export async function listVersions(context: QueryContext, { id }: { id: string }): Promise<Result<RecordLine[]>> {
	const rows = await recordVersions(context.db, id);
	if (rows.length === 0) return refuse('not.found', { what: 'record', id });
	return ok(rows.map(await linesFor(context)));
}

/** The first records did not hold these. */
type KeptLater =
	| 'flowering'
	| 'told'
	| 'noEntryUntil'
	| 'harvestFrom'
	| 'useType'
	| 'kind'
	| 'carrier'
	| 'seed'
	| 'space'
	| 'washings'
	| 'needsAuthorisation'
	| 'confined'
	| 'createdAt';

export function recordDetails(row: Pick<RecordStored, 'details' | 'writtenAt'>): RecordDetails {
	const kept = JSON.parse(row.details) as Omit<RecordDetails, KeptLater> & {
		-readonly [Name in KeptLater]?: RecordDetails[Name];
	};
	kept.flowering ??= null;
	kept.told ??= null;
	kept.noEntryUntil ??= null;
	kept.harvestFrom ??= null;
	kept.useType ??= 'treatment of surfaces';
	kept.kind ??= 'spray in water';
	kept.carrier ??= null;
	kept.seed ??= null;
	kept.space ??= null;
	kept.washings ??= null;
	kept.needsAuthorisation ??= true;
	kept.confined ??= [];
	kept.createdAt ??= row.writtenAt;
	return kept as RecordDetails;
}

function recordLine(row: RecordStored, farm: FarmRow, product: ProductRow<ProductDetails> | undefined): RecordLine {
	const details = recordDetails(row);
	const { formulation, authorisationNo, dosePerHa, crop, eppoCode, growthStage, reason, certificateNo } = details;
	const { operator, sprayer, sprayVolumeLPerHa, weather, bufferM, zone, useType, kind, carrier, seed, space } = details;
	const rules = ruleSetOf(farm.ruleSet);
	return {
		id: row.recordId,
		date: row.sprayDate,
		fieldId: row.fieldId,
		field: row.fieldName,
		treatedHa: toHectares(row.treatedM2),
		kind,
		carrier,
		seed,
		space,
		washings: washingsOf(row, details),
		productId: row.productId,
		product: row.productName,
		formulation,
		authorisationNo,
		dosePerHa,
		nutrients: product && dosePerHa !== null ? nutrientDoses(product, dosePerHa) : [],
		amount: fromStockAmount(row.amount),
		...stayedIn(row, details),
		unit: row.unit,
		crop,
		eppoCode,
		useType,
		growthStage,
		reason,
		startedAt: toIso(row.startedAt, zone),
		finishedAt: toIso(row.finishedAt, zone),
		operator,
		certificateNo,
		sprayer,
		sprayVolumeLPerHa,
		weather,
		bufferM,
		assessed: details.assessed ? AssessedMargins.parse(details.assessed) : null,
		flowering: details.flowering,
		told: details.told,
		noEntryUntil: details.noEntryUntil === null ? null : toIso(details.noEntryUntil, zone),
		harvestFrom: details.harvestFrom,
		jobId: row.jobId,
		load: row.loadNumber,
		version: row.version,
		state: row.state,
		confirmed: row.confirmed === 1,
		overrideWhy: details.overrideWhy ?? null,
		findings: [...(details.findings ?? [])],
		why: row.why,
		by: row.who,
		writtenAt: toIso(row.writtenAt, zone),
		createdAt: toIso(details.createdAt, zone),
		missing: missingBy(row, details, farm.ruleSet),
		writeBy: rules && writeBy(row.sprayDate, rules),
		keepUntil: keepUntil(row.sprayDate, rules ?? { keepYears: 0 }),
		seq: row.seq,
		hash: row.hash,
	};
}

/** What of the amount lies on no ground, as far as washings have not taken it out of the tank since. */
function stayedIn(row: RecordStored, { stayed }: RecordDetails): Pick<RecordLine, 'stayedInTank'> {
	const amount = fromStockAmount(row.amount);
	const left = stayed ? amount - amountOnGround(amount, stayed) : 0;
	return left > 1e-6 ? { stayedInTank: left } : {};
}

/** What makes a line one of washings; null: something was treated. */
export function washingsOf(
	row: Pick<RecordStored, 'washingsId' | 'washedM2' | 'treatedM2'>,
	details: Pick<RecordDetails, 'washings'>,
): RecordLine['washings'] {
	const { washingsId, washedM2, treatedM2 } = row;
	if (washingsId === null || washedM2 === null) return null;
	return {
		id: washingsId,
		areaHa: toHectares(washedM2),
		litres: details.washings?.litres ?? 0,
		over: treatedM2 === 0 ? 'sprayed ground' : 'unsprayed ground',
	};
}

/** The columns that tell what a record lacks. */
export const missingFrom = [
	'productName',
	'sprayDate',
	'startedAt',
	'fieldName',
	'treatedM2',
	'washedM2',
	'amount',
	'details',
	'writtenAt',
] as const;

/** Water conditioners, adjuvants and fertilisers have no authorisation as a plant protection product. */
export function needsNumber({ kind }: Pick<ProductDetails, 'kind'>): boolean {
	return kind === 'plant protection product';
}

/** What a record lacks by a rule set. */
export function missingBy(
	row: Pick<RecordStored, (typeof missingFrom)[number]>,
	details: RecordDetails,
	ruleSetId: string,
): string[] {
	const { weather } = details;
	const facts: RecordFacts = {
		'use type': details.useType,
		'product name': row.productName,
		'authorisation number': details.needsAuthorisation ? details.authorisationNo : 'none needed',
		date: row.sprayDate,
		'start time': row.startedAt,
		dose: details.seed?.dose ?? details.space?.dose.value ?? details.dosePerHa,
		field: row.fieldName,
		'treated area': details.seed?.amount ?? details.space?.amount ?? row.washedM2 ?? row.treatedM2,
		amount: row.amount,
		crop: details.crop,
		'EPPO code': details.space?.empty ? 'none is stored' : details.eppoCode,
		'growth stage': details.growthStage,
		reason: details.reason,
		operator: details.operator,
		'certificate number': details.certificateNo,
		wind: weather?.windSpeedKmh ?? null,
		'in flower': details.flowering,
		'neighbours and beekeepers told': details.told,
		// Washings are kept off margins by the pass they lie on.
		'buffer assessment': details.assessed || row.washedM2 !== null ? 'assessed' : null,
		'temperature and humidity': weather?.humidityPercent === undefined ? null : (weather.temperatureC ?? null),
	};
	return missingItems(facts, ruleSetId, details.confined, details.useType);
}

export type Known = {
	readonly growthStage?: string | undefined;
	readonly reason?: string | undefined;
	readonly certificateNo?: string | undefined;
	readonly operator?: string | undefined;
	readonly weather?: WeatherSeen | undefined;
	readonly bufferM?: number | undefined;
	readonly crop?: string | undefined;
	readonly eppoCode?: string | undefined;
};

/** Corrects one record by a new version with the reason; the old one stays readable. */
export async function correctRecord(
	context: CommandContext,
	input: Known & {
		id: string;
		version: number;
		why: string;
		by: string;
		key: string;
		authorisationNo?: string | undefined;
		margins?: readonly z.output<typeof MarginEntered>[] | undefined;
	},
): Promise<Result<RecordLine>> {
	const { id, version, why, by, key: _, margins, ...known } = input;
	const newest = (await recordVersions(context.tx, id)).at(-1);
	if (!newest) return refuse('not.found', { what: 'record', id });
	if (newest.version !== version) return refuse('row.changed', { what: `the record of ${newest.fieldName}` });
	if (newest.state === 'reversed') return refuse('record.final', { id });
	const product = (await findProducts<ProductDetails>(context.tx, [newest.productId])).get(newest.productId);
	const { assessed: before, ...others } = recordDetails(newest);
	const kept = margins?.map((margin) => keptMargin(margin, by));
	const now = kept ? assessedFor(kept, product, others.dosePerHa) : before;
	const details = { ...others, ...(now ? { assessed: now } : {}), ...given(known) } as RecordDetails;
	const [written] = await writeVersions(context, [{ row: newest, details }], { why, by });
	if (!written) return refuse('not.found', { what: 'record', id });
	return ok(recordLine(written, context.farm, product));
}

export async function writeVersions(
	{ tx, farm, now, newId, signedBy, note }: CommandContext,
	changed: readonly { row: RecordStored; details: RecordDetails }[],
	{ why, by }: { why: string; by: string },
): Promise<RecordStored[]> {
	signedBy(by);
	for (const { row, details } of changed) {
		note({ table: 'spray_record', id: row.recordId, before: row.details, after: JSON.stringify(details) });
	}
	return addRecords(
		tx,
		changed.map(({ row: { seq: _, hash: __, ...row }, details }) => ({
			...row,
			id: newId(),
			version: row.version + 1,
			details: JSON.stringify(details),
			why,
			who: by,
			writtenAt: now,
			userId: farm.userId,
			deviceId: farm.deviceId,
		})),
	);
}

export function listRuleSets() {
	return ok(ruleSets);
}
