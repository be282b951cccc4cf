import type { FieldWithFigures } from '../../db/modules/fields.ts';
import { newestIncidentEntries } from '../../db/modules/fills.ts';
import { type JobProductStored, type JobStored, type LoadLogStored, standing } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { findSprayer } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { EndOfJob } from '../../shared/contract/jobs-end.ts';
import type { JobPlan, PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { singleDoses } from '../../shared/core/limits/limits-of-kind.ts';
import { roomForWashings, type WashingsRoom } from '../../shared/core/limits/washings-room.ts';
import { type ApplicationKind, needsTank } from '../../shared/core/loads/application-kind.ts';
import { displacementOf } from '../../shared/core/loads/displacement.ts';
import { leftRange, leftSigma } from '../../shared/core/loads/expected-left.ts';
import { topUpLoad } from '../../shared/core/loads/top-up.ts';
import { groundForWashings } from '../../shared/core/loads/washings.ts';
import { USUAL_NOISE } from '../../shared/core/reconcile/season-books.ts';
import { toHectares } from '../../shared/units/area.ts';
import { applied } from './applied-product.ts';
import { logDetails, overLoads } from './job-details.ts';
import type { OnField } from './limits.ts';
import { toLoad } from './product-to-load.ts';
import type { ProductDetails } from './products.ts';
import type { SprayerDetails } from './sprayers.ts';

/** New mix that really went in, and mix that was disposed of; by load. Loads that are not logged are left out. */
type MadeUp = {
	readonly mixedL: ReadonlyMap<number, number>;
	readonly over: ReadonlySet<number>;
	readonly disposedL: number;
	/** Mix lost in incidents. */
	readonly spiltL: number;
};

const NOTHING_YET: MadeUp = { mixedL: new Map(), over: new Set(), disposedL: 0, spiltL: 0 };

type JobToEnd = {
	readonly fields: readonly { readonly row: FieldWithFigures | null; readonly areaHa: number }[];
	readonly products: readonly { readonly product: ProductRow<ProductDetails>; readonly dosePerHa: number }[];
	readonly sprayer: { readonly unsprayableL: number; readonly minimumL: number };
	readonly sprayVolumeLPerHa: number;
	readonly loads: readonly PlannedLoad[];
	readonly carrier?: JobPlan['carrier'];
	/** The ground with all that its limits are held against; left out: where the washings fit is not told. */
	readonly grounds?: readonly OnField[];
};

/** What to expect at the end of a job's last load, and what the usual ways out come to. */
export function endOfJob(farm: FarmRow, job: JobToEnd, madeUp: MadeUp = NOTHING_YET): EndOfJob | null {
	const { loads, sprayVolumeLPerHa, sprayer } = job;
	const [first] = loads;
	if (!first) return null;
	const fieldsHa = job.fields.reduce((sum, field) => sum + field.areaHa, 0);
	const areaHa = loads.reduce((sum, load) => sum + load.areaHa, 0);
	const newMixL = loads.map((load) => madeUp.mixedL.get(load.load) ?? load.newMixL);
	const mixedL = newMixL.reduce((sum, litres) => sum + litres, 0);
	const lostL = madeUp.disposedL + madeUp.spiltL;
	const expectedL = first.carriedInL + mixedL - lostL - sprayer.unsprayableL - areaHa * sprayVolumeLPerHa;
	const lines = job.products.map(({ product, dosePerHa }) => {
		const taken = displacementOf(toLoad(product, dosePerHa), 'products');
		const { name, unit } = product;
		return { name, unit, dosePerHa, litresPerUnit: taken.ok ? taken.value.litresPerUnit : 0 };
	});
	const litresPerUnit = new Map(lines.map((line) => [line.name, line.litresPerUnit]));
	const pours = loads.flatMap(({ products }) => products.filter(({ measured }) => measured > 0));
	const sigma = leftSigma({
		sprayVolumeLPerHa,
		areaSigmasHa: job.fields.map((field) => (areaSigma(field) * areaHa) / fieldsHa),
		newMixL,
		meterRelative: farm.meterErrorPercent / 100,
		meterBias: USUAL_NOISE.meterBias,
		pourSigmaL: Math.hypot(
			...pours.map(({ name }) => ((litresPerUnit.get(name) ?? 0) * farm.measureStep) / Math.sqrt(12)),
		),
	});
	const { lowL, highL } = leftRange(roundMilli(expectedL), sigma);
	const shortHa = Math.max(0, -lowL) / sprayVolumeLPerHa;
	const leftL = sprayer.unsprayableL + Math.max(0, highL);
	const washings = groundForWashings({
		leftL,
		sprayVolumeLPerHa,
		products: job.products.map(({ product, dosePerHa }) => ({
			name: product.name,
			dosePerHa,
			maxDosePerHa: singleDoseMaximum(product),
		})),
	});
	const topUp =
		shortHa > 0
			? topUpLoad({
					areaHa: shortHa,
					sprayVolumeLPerHa,
					measureStep: farm.measureStep,
					lines,
					carrier: bulkOf(job.carrier),
				})
			: null;
	const open = loads.findLast(({ load }) => !madeUp.over.has(load));
	const smallerL = open ? open.totalL - Math.max(0, highL) : 0;
	return {
		expectedL: roundMilli(expectedL),
		lowL,
		highL,
		shortHa,
		sigma,
		unsprayableL: sprayer.unsprayableL,
		smallerLast:
			open && highL > 0 && smallerL >= Math.max(sprayer.minimumL, sprayer.unsprayableL)
				? { load: open.load, totalL: open.totalL, smallerL }
				: null,
		topUp: topUp && { ...topUp, products: topUp.products.map((line) => ({ ...line })) },
		washings: { leftL, ...washings, unknown: [...washings.unknown], ...roomIn(job, leftL) },
	};
}

/** What the washings of all that is left need on each field of the job. */
function roomIn({ grounds, products, fields, sprayVolumeLPerHa }: JobToEnd, leftL: number) {
	if (!grounds) return {};
	const washings = products.map(({ product, dosePerHa }) => applied(product, (dosePerHa * leftL) / sprayVolumeLPerHa));
	return {
		fields: grounds.map(({ field, planned }, index) => ({
			fieldId: planned.ground.fieldId,
			field,
			sprayedHa: fields[index]?.areaHa ?? 0,
			...shownRoom(roomForWashings(planned, washings)),
		})),
	};
}

/** The answer of the core as it goes over the wire. */
export function shownRoom({ unknown, notForCrop, ...room }: WashingsRoom) {
	return { ...room, unknown: [...unknown], notForCrop: [...notForCrop] };
}

/** Fertiliser that is only noted; one from the store is a product of the job. */
function bulkOf(carrier: JobPlan['carrier']): JobPlan['carrier'] {
	return carrier?.productId === null ? carrier : undefined;
}

/** Is there a mix that may be left, or run short? */
export function hasMixLeft(kind: ApplicationKind): boolean {
	return needsTank(kind);
}

type Standing = {
	readonly job: JobStored;
	readonly plan: JobPlan;
	readonly logs: readonly LoadLogStored[];
	readonly ground: readonly { readonly row: FieldWithFigures | null; readonly areaHa: number }[];
	readonly lines: readonly { readonly line: JobProductStored }[];
};

/** What to expect at the end of the job as it stands: by the meter where loads are logged, by the plan for the rest. */
export async function expectedNow(db: ReadDb, farm: FarmRow, { job, plan, logs, ground, lines }: Standing) {
	const sprayer = await findSprayer<SprayerDetails>(db, job.sprayerId);
	const rows = await findProducts<ProductDetails>(
		db,
		lines.map(({ line }) => line.productId),
	);
	if (!sprayer || job.closing || !hasMixLeft(job.kind)) return null;
	const products = lines.flatMap(({ line }) => {
		const product = rows.get(line.productId);
		return product ? [{ product, dosePerHa: line.dose }] : [];
	});
	const inForce = plan.loads.filter(({ load }) => load >= plan.startsAt);
	const end = endOfJob(
		farm,
		{ fields: ground, products, sprayer, sprayVolumeLPerHa: job.sprayVolume, loads: inForce, carrier: plan.carrier },
		{ ...madeUp(plan, inForce, logs), spiltL: await mixSpilt(db, job.id, plan.startsAt) },
	);
	// Until something is logged the ground is as it was when the job was planned.
	const asPlanned = standing(logs).length === 0 ? plan.end?.washings.fields : undefined;
	return end && asPlanned ? { ...end, washings: { ...end.washings, fields: asPlanned } } : end;
}

/** Mix that incidents of the plan in force took, but for those taken back. */
async function mixSpilt(db: ReadDb, jobId: string, startsAt: number): Promise<number> {
	const incidents = await newestIncidentEntries(db, { jobId });
	return incidents
		.filter(({ withdrawnWhy, loadNumber }) => withdrawnWhy === null && (loadNumber ?? startsAt) >= startsAt)
		.reduce((sum, { mixL }) => sum + (mixL ?? 0), 0);
}

function madeUp(
	plan: JobPlan,
	inForce: readonly PlannedLoad[],
	logs: readonly LoadLogStored[],
): Omit<MadeUp, 'spiltL'> {
	const standingLogs = standing(logs);
	const over = overLoads(plan, logs);
	const mixedL = new Map<number, number>();
	for (const { load, displacementL, carrierL, waterL: plannedL } of inForce) {
		const metered = standingLogs.filter(({ loadNumber, meteredL }) => loadNumber === load && meteredL !== null);
		const waterL = metered.reduce((sum, log) => sum + (log.meteredL ?? 0) + (logDetails(log).rinsedL ?? 0), 0);
		if (over.has(load) && metered.length > 0) {
			// Of a load with fertiliser that was read off; the water beside it went in as planned.
			mixedL.set(load, waterL + displacementL + (carrierL === undefined ? 0 : plannedL));
		}
	}
	const stops = standingLogs
		.filter(({ loadNumber }) => loadNumber >= plan.startsAt)
		.flatMap((log) => logDetails(log).stopped ?? []);
	const disposed = stops.filter(({ mix }) => mix === 'disposed');
	return { mixedL, over, disposedL: disposed.reduce((sum, { mixLeftL }) => sum + (mixLeftL ?? 0), 0) };
}

/** Standard error of the area: the boundary's own, scaled to the part that is sprayed, else what is usual of a register. */
function areaSigma({ row, areaHa }: JobToEnd['fields'][number]): number {
	const boundary = row?.boundary;
	if (!boundary) return USUAL_NOISE.registerRelative * areaHa;
	return (toHectares(boundary.sigmaM2) * areaHa) / toHectares(boundary.areaM2);
}

function singleDoseMaximum({ limits }: ProductRow<ProductDetails>): number | null {
	const maxima = singleDoses(limits).map(({ max }) => max);
	return maxima.length > 0 ? Math.min(...maxima) : null;
}

/** A millilitre is the binary noise of thousands of litres, not mix. */
function roundMilli(litres: number): number {
	return Math.round(litres * 1000) / 1000;
}
