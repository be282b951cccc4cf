import { findField } from '../../db/modules/fields.ts';
import { type JobStored, type LoadLogStored, loadLogs, standing } from '../../db/modules/jobs.ts';
import { operatorNamed } from '../../db/modules/operators.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import { addRecords, listRecords, type NewRecord } from '../../db/modules/records.ts';
import { findSpace } from '../../db/modules/spaces.ts';
import { findSprayer } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import type { PlannedSpace } from '../../shared/contract/jobs-indoors.ts';
import type { Seed } from '../../shared/contract/jobs-kinds.ts';
import type { LimitFinding } from '../../shared/contract/limits.ts';
import { isKeptAfterwards } from '../../shared/core/limits/limit.ts';
import type { MarginKept } from '../../shared/core/limits/margin-kept.ts';
import { standingWaits } from '../../shared/core/limits/standing-waits.ts';
import { earliestHarvest, reentryEnds } from '../../shared/core/limits/time-limits.ts';
import { typeOfUse } from '../../shared/core/loads/application-kind.ts';
import { type SpaceUnit, spaceDoses } from '../../shared/core/loads/closed-space.ts';
import { SEED_PER_DOSE } from '../../shared/core/loads/seed.ts';
import { confinedBy } from '../../shared/core/records/rule-sets.ts';
import { fromStockAmount, toStockAmount } from '../../shared/units/amount.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import { splitWithoutLoss } from '../../shared/units/split.ts';
import { toLocalDate } from './clock.ts';
import type { CommandContext } from './handler.ts';
import { detailsOf, type LogDetails, logDetails, planOf, waterOnSeed } from './job-details.ts';
import type { Logged, Poured } from './log-load.ts';
import { assessedFor, holdersOfMargins, marginsOn } from './margins.ts';
import type { ProductDetails } from './products.ts';
import { needsNumber, type RecordDetails, type WeatherSeen } from './records.ts';
import { shownDose } from './said-dose.ts';
import { heldIn, sharedOut } from './space-limits.ts';
import { spaceOf as spaceRowOf } from './spaces.ts';
import type { SprayerDetails } from './sprayers.ts';

type Recording = Omit<Logged, 'id' | 'startedAt' | 'finishedAt'> & {
	readonly job: JobStored;
	readonly logs: readonly LoadLogStored[];
	readonly log: LoadLogStored;
	readonly findings: readonly LimitFinding[];
	/** What of each product goes onto each part of the ground, in µL or mg. */
	readonly amounts: ReadonlyMap<string, readonly number[]>;
	/** Of what was logged of a product, the share that reached the ground. */
	readonly shareOnGround: (productId: string) => number;
};

/** What one record line lies on: a part of a field, a lot of seed or a closed space; the last two are no ground. */
type Place = {
	readonly fieldId: string | null;
	readonly name: string;
	readonly date: string;
	readonly season: number;
	readonly treatedM2: number;
	readonly crop: string | null;
	readonly eppoCode: string | null;
	readonly startedAt: number;
	readonly finishedAt: number;
	readonly weather: WeatherSeen | null;
	/** What the amount is for: hectares, or seed or a closed space in the unit of its dose. */
	readonly doseUnits: number;
	readonly amounts: readonly Poured[];
	/** Of a closed space: which, and what of it was treated. */
	readonly space?: Pick<PlannedSpace, 'spaceId' | 'crop' | 'amount'> & { readonly unit: SpaceUnit };
};

/**
 * One record line per product and field, lot of seed or closed space. The parts add up to what went in: a finished load puts all of its
 * mix on its ground; a broken-off one puts the share of its area.
 */
export async function writeRecords(context: CommandContext, work: Recording): Promise<string[]> {
	const { tx } = context;
	const { job, load, logs, log, input } = work;
	const products = await findProducts<ProductDetails>(
		tx,
		load.products.map(({ productId }) => productId),
	);
	const sprayer = await findSprayer<SprayerDetails>(tx, job.sprayerId);
	const details = detailsOf(job);
	const certificateNo = (await operatorNamed(tx, input.operator))?.certificateNo ?? null;
	const holdsMargins = holdersOfMargins(products);
	const rows: NewRecord[] = [];
	for (const place of await placesOf(context, work)) {
		for (const { productId, said, amount } of place.amounts) {
			if (amount === 0) continue;
			const logged = fromStockAmount(amount);
			const onGround = work.quantity === null ? logged * work.shareOnGround(productId) : logged;
			const dose = onGround / place.doseUnits;
			rows.push(
				recordOf(context, {
					job,
					log,
					place,
					productId,
					product: products.get(productId),
					amount,
					dosePerHa: work.quantity === null ? dose : null,
					stayed: onGround === logged ? null : { stayed: logged - onGround, logged },
					seed: seedOf(work, details.seed, dose),
					space: place.space ? await spaceOf(context, work, { ...place.space, productId, dose }) : null,
					sprayer: sprayer?.name ?? '?',
					sprayVolumeLPerHa: job.sprayVolume || null,
					operator: input.operator,
					flowering: input.flowering || null,
					told: input.told || null,
					certificateNo,
					confirmed: said,
					findings: work.findings,
					margins:
						place.fieldId === null || !holdsMargins(productId)
							? []
							: marginsOn(input.margins, { fieldId: place.fieldId, enteredBy: input.operator }),
					why: logs.length > 0 ? 'went on after a stop' : null,
				}),
			);
		}
	}
	await addRecords(tx, rows);
	return rows.map(({ recordId }) => recordId);
}

/** What one line of the spray records says. */
export type Line = {
	readonly job: JobStored;
	readonly log: Pick<LoadLogStored, 'id' | 'loadNumber'>;
	readonly place: Omit<Place, 'doseUnits' | 'amounts' | 'space'>;
	readonly productId: string;
	readonly product: ProductRow<ProductDetails> | undefined;
	readonly amount: number;
	readonly dosePerHa: number | null;
	readonly stayed?: NonNullable<RecordDetails['stayed']> | null;
	readonly seed: RecordDetails['seed'];
	readonly space: RecordDetails['space'];
	readonly sprayer: string;
	readonly sprayVolumeLPerHa: number | null;
	readonly operator: string;
	readonly flowering?: string | null;
	readonly told?: string | null;
	readonly certificateNo: string | null;
	readonly confirmed: boolean;
	readonly findings: readonly LimitFinding[];
	/** The margins of its ground as they were assessed. */
	readonly margins?: readonly MarginKept[];
	readonly why: string | null;
	readonly washings?: { readonly id: string; readonly m2: number; readonly litres: number };
};

/** The first version of one record line. */
export function recordOf({ farm, now, newId }: CommandContext, line: Line): NewRecord {
	const { job, log, place, productId, product, washings } = line;
	const details = detailsOf(job);
	const margins = assessedFor(line.margins ?? [], product, line.dosePerHa);
	const content: RecordDetails = {
		formulation: product?.formulation ?? '?',
		authorisationNo: product?.authorisationNo ?? null,
		dosePerHa: line.dosePerHa,
		...(line.stayed ? { stayed: line.stayed } : {}),
		crop: place.crop,
		eppoCode: place.eppoCode,
		useType: typeOfUse(job.kind),
		kind: job.kind,
		carrier: planOf(job).carrier?.name ?? null,
		seed: line.seed,
		space: line.space,
		washings: washings ? { litres: washings.litres } : null,
		needsAuthorisation: product ? needsNumber(product) : true,
		confined: confinedBy(product?.limits ?? []),
		createdAt: now,
		growthStage: details.growthStage,
		reason: details.reason,
		certificateNo: line.certificateNo,
		operator: line.operator,
		sprayer: line.sprayer,
		sprayVolumeLPerHa: line.sprayVolumeLPerHa,
		weather: place.weather,
		bufferM: details.bufferM,
		...(margins ? { assessed: margins } : {}),
		flowering: line.flowering ?? null,
		told: line.told ?? null,
		...waitsAfter(line),
		nozzle: details.nozzle,
		zone: farm.zone,
		overrideWhy: details.overrideWhy,
		findings: line.findings
			.filter((finding) => finding.verdict === 'block' || (finding.verdict === 'warn' && !isKeptAfterwards(finding)))
			.filter(
				(finding) =>
					finding.fieldId === (place.fieldId ?? line.space?.spaceId) &&
					(!finding.productId || finding.productId === productId),
			)
			.map(({ say }) => say),
	};
	return {
		id: newId(),
		recordId: newId(),
		version: 1,
		state: 'current',
		farmId: farm.id,
		jobId: job.id,
		loadLogId: log.id,
		loadNumber: log.loadNumber,
		sprayDate: place.date,
		season: place.season,
		fieldId: place.fieldId,
		fieldName: place.name,
		productId,
		productName: product?.name ?? '?',
		unit: product?.unit ?? 'L',
		treatedM2: place.treatedM2,
		amount: line.amount,
		startedAt: place.startedAt,
		finishedAt: place.finishedAt,
		confirmed: line.confirmed ? 1 : 0,
		details: JSON.stringify(content),
		why: line.why,
		who: line.operator,
		writtenAt: now,
		userId: farm.userId,
		deviceId: farm.deviceId,
		washingsId: washings?.id ?? null,
		washedM2: washings?.m2 ?? null,
	};
}

/** Until when nobody enters, and from when the crop of a field may be harvested, by the limits of the product as they stand now. */
function waitsAfter({ place, product, space }: Line): Pick<RecordDetails, 'noEntryUntil' | 'harvestFrom'> {
	const { fieldId, crop, eppoCode, date, finishedAt } = place;
	if (!product || (fieldId === null && space === null)) return { noEntryUntil: null, harvestFrom: null };
	const waits = standingWaits(
		product.limits,
		[eppoCode, crop].filter((name) => name !== null),
	);
	return {
		noEntryUntil: waits.reentryH === null ? null : reentryEnds(finishedAt, waits.reentryH),
		harvestFrom: space !== null || waits.harvestDays === null ? null : earliestHarvest(date, waits.harvestDays),
	};
}

async function placesOf(context: CommandContext, work: Recording): Promise<Place[]> {
	const { tx, farm } = context;
	const { job, log, ground, poured, input } = work;
	const { seed, indoors } = detailsOf(job);
	const noGround = ({ startedAt, finishedAt }: Pick<Place, 'startedAt' | 'finishedAt'>) => {
		const date = toLocalDate(startedAt, farm.zone);
		const season = seasonOf(date, farm.seasonStartMonth);
		return {
			...{ fieldId: null, treatedM2: 0, date, season, startedAt, finishedAt },
			weather: input.weather ?? null,
		};
	};
	if (work.quantity !== null && seed) {
		const doseUnits = work.quantity / SEED_PER_DOSE[seed.unit];
		return [{ ...noGround(log), ...namesOfSeed(seed), doseUnits, amounts: poured }];
	}
	if (indoors) {
		const amounts = sharedOut(poured, work.spaces);
		const { unit } = indoors;
		return work.spaces.flatMap((part, index) => {
			const space = indoors.spaces.find(({ spaceId }) => spaceId === part.spaceId);
			if (!space) return [];
			return [
				{
					...noGround(part),
					...{ name: space.name, crop: heldIn(space).words, eppoCode: (space.crop && space.eppoCode) ?? null },
					doseUnits: part.amount / spaceDoses[unit].per,
					amounts: amounts[index] ?? [],
					space: { ...space, unit, amount: part.amount },
				},
			];
		});
	}
	const places: Place[] = [];
	for (const [index, part] of ground.entries()) {
		const date = toLocalDate(part.startedAt, farm.zone);
		const season = seasonOf(date, farm.seasonStartMonth);
		const field = await findField(tx, part.fieldId, season);
		places.push({
			fieldId: part.fieldId,
			name: field?.field.name ?? '?',
			date,
			season,
			treatedM2: toSquareMetres(part.areaHa),
			crop: field?.crop?.crop ?? null,
			eppoCode: field?.crop?.eppoCode ?? null,
			startedAt: part.startedAt,
			finishedAt: part.finishedAt,
			weather: part.weather,
			doseUnits: part.areaHa,
			amounts: poured.map((line) => ({ ...line, amount: work.amounts.get(line.productId)?.[index] ?? 0 })),
		});
	}
	return places;
}

/** What a record of seed goes by. */
function namesOfSeed({ lot, crop, eppoCode }: Seed): Pick<Place, 'name' | 'crop' | 'eppoCode'> {
	return { name: `seed, ${lot ? `lot ${lot}` : crop}`, crop, eppoCode: eppoCode ?? null };
}

type DosedSpace = NonNullable<Place['space']> & { readonly productId: string; readonly dose: number };

/** The closed space as the books have it now, with what of it was treated and the dose there. */
async function spaceOf(
	{ tx }: CommandContext,
	{ job, load }: Recording,
	{ spaceId, crop, amount, unit, productId, dose }: DosedSpace,
): Promise<RecordDetails['space']> {
	const row = await findSpace(tx, spaceId);
	const product = load.products.find((line) => line.productId === productId);
	if (!row || !product) return null;
	const { kind, code, place, latitude, longitude, volumeM3, floorM2 } = spaceRowOf(row);
	const kept = { way: spaceDoses[unit].way, figure: dose, unit: detailsOf(job).doses[productId]?.unit };
	return {
		spaceId: row.id,
		kind,
		code: code ?? null,
		place: place ?? null,
		point: latitude === undefined || longitude === undefined ? null : { latitude, longitude },
		volumeM3: volumeM3 ?? null,
		floorM2: floorM2 ?? null,
		amount,
		unit,
		dose: shownDose(kept, product, dose),
		empty: crop === undefined,
	};
}

function seedOf({ quantity: amount, load, log }: Recording, seed: Seed | null, dose: number): RecordDetails['seed'] {
	if (amount === null || seed === null) return null;
	const waterL = waterOnSeed(load, { meteredL: log.meteredL, seed: amount });
	return { amount, unit: seed.unit, lot: seed.lot ?? null, dose, ...(waterL === null ? {} : { waterL }) };
}

type Going = Pick<Recording, 'load' | 'logs' | 'ground' | 'poured'> & {
	/** The load is finished: all that is on no record yet goes onto this ground. */
	readonly over: boolean;
	/** Product in the mix that was carried in from a load that was broken off, in µL or mg. */
	readonly carriedIn: ReadonlyMap<string, number>;
};

/** What of each product goes onto each part of the ground with this log: of a load that was broken off, the share of its area. */
export async function amountsOnGround(
	tx: ReadDb,
	{ load, logs, ground, poured, over, carriedIn }: Going,
): Promise<Map<string, number[]>> {
	const earlier = logs.length > 0 ? await listRecords(tx, { loadLogIds: logs.map(({ id }) => id) }) : [];
	const areas = ground.map(({ areaHa }) => areaHa);
	const covered = areas.reduce((sum, area) => sum + area, 0);
	const amounts = new Map<string, number[]>();
	for (const { productId, amount } of poured) {
		const before = logs.flatMap(({ details }) => (JSON.parse(details) as LogDetails).products);
		const total =
			amount +
			(carriedIn.get(productId) ?? 0) +
			before.filter((line) => line.productId === productId).reduce((sum, line) => sum + toStockAmount(line.amount), 0);
		const recorded = earlier.filter((row) => row.productId === productId).reduce((sum, row) => sum + row.amount, 0);
		const share = over ? total - recorded : Math.round((total * covered) / load.areaHa);
		amounts.set(productId, splitWithoutLoss(Math.max(0, Math.min(share, total - recorded)), areas));
	}
	return amounts;
}

/** What of each product went into loads whose mix was carried into this one, and stands on no record yet. */
export async function productCarriedIn(tx: ReadDb, job: JobStored, load: number): Promise<Map<string, number>> {
	const from = planOf(job).carried.flatMap((carry) => (carry.into === load ? [carry.from] : []));
	const carried = new Map<string, number>();
	if (from.length === 0) return carried;
	const logs = standing(await loadLogs(tx, [job.id])).filter(({ loadNumber }) => from.includes(loadNumber));
	for (const { productId, amount } of logs.flatMap((log) => logDetails(log).products)) {
		carried.set(productId, (carried.get(productId) ?? 0) + toStockAmount(amount));
	}
	const recorded = logs.length > 0 ? await listRecords(tx, { loadLogIds: logs.map(({ id }) => id) }) : [];
	for (const { productId, amount } of recorded) carried.set(productId, (carried.get(productId) ?? 0) - amount);
	return carried;
}
