import { findJob, jobProducts } from '../../db/modules/jobs.ts';
import { findProducts, type ProductRow } from '../../db/modules/products.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import { findSpace } from '../../db/modules/spaces.ts';
import { findSprayer, type SprayerRow } from '../../db/modules/sprayers.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { sentenceOf } from '../../shared/basics/problem.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import type { PlannedSpace } from '../../shared/contract/jobs-indoors.ts';
import type { PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { fill } from '../../shared/core/filling/fill.ts';
import type { FillGiven } from '../../shared/core/filling/fill-given.ts';
import type { FillContainer, HandlingMethod } from '../../shared/core/filling/handling.ts';
import { type Portion, WATER } from '../../shared/core/filling/tally.ts';
import { standingWaits } from '../../shared/core/limits/standing-waits.ts';
import { displacementOf } from '../../shared/core/loads/displacement.ts';
import { drawnClosed } from '../../shared/core/products/closure.ts';
import { formulationOf } from '../../shared/core/products/formulation.ts';
import { cautionsOf } from './card-cautions.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, planOf } from './job-details.ts';
import { type Pace, paceOf } from './learned-filling.ts';
import { standingAgainst } from './limits.ts';
import { orderOf, type Placed } from './pouring-order.ts';
import type { ProductDetails } from './products.ts';
import { shownDose } from './said-dose.ts';
import { spaceOf } from './spaces.ts';
import type { SprayerDetails } from './sprayers.ts';

type Product = ProductRow<ProductDetails>;
type Sprayer = SprayerRow<SprayerDetails>;
type Line = PlannedLoad['products'][number];

/** The load card as data: order of pouring, water to meter with its stops, fill timeline, cautions. */
export async function loadCard(
	context: QueryContext,
	{ jobId, load }: { jobId: string; load: number },
): Promise<Result<LoadCard>> {
	const card = await cardOf(context.db, context.farm, jobId, load);
	return card.ok ? ok({ ...card.value, limits: await standingAgainst(context, jobId) }) : card;
}

export async function cardOf(db: ReadDb, farm: FarmRow, jobId: string, number: number): Promise<Result<LoadCard>> {
	const sheet = await sheetOf(db, farm, jobId, number);
	return sheet.ok ? ok(sheet.value.card) : sheet;
}

/** The card of a load, and what its fill is worked out from; null where that cannot be said. */
export async function sheetOf(
	db: ReadDb,
	farm: FarmRow,
	jobId: string,
	number: number,
): Promise<Result<{ card: LoadCard; given: FillGiven | null; portions: Portion[] | null }>> {
	const found = await findJob(db, jobId);
	if (!found) return refuse('not.found', { what: 'job', id: jobId });
	const { job } = found;
	const plan = planOf(job);
	const load = plan.loads.find((line) => line.load === number);
	if (!load) return refuse('load.unknown', { load: number, loads: plan.loads.length });
	const sprayer = await findSprayer<SprayerDetails>(db, job.sprayerId);
	if (!sprayer) return refuse('not.found', { what: 'sprayer', id: job.sprayerId });
	const products = await findProducts<ProductDetails>(
		db,
		load.products.map(({ productId }) => productId),
	);
	const details = detailsOf(job);
	const doses = new Map((await jobProducts(db, [jobId])).map(({ line }) => [line.productId, line.dose]));
	const carrier = plan.carrier ?? null;
	// The carrier is metered, not poured: it stands in no order.
	const partners = load.products.filter(({ productId }) => productId !== carrier?.productId);
	const isMixed = job.kind === 'spray in water' || job.kind === 'spray in liquid fertiliser';
	const order = orderOf(job.kind, { load, partners, products, farm, carrier: carrier ? 'liquid fertiliser' : 'water' });
	const placed = order.ok ? order.value : [];
	const lines =
		placed.length > 0 ? placed.flatMap(({ name }) => partners.filter((line) => line.name === name)) : partners;
	const startL = Math.min(sprayer.startL ?? load.totalL / 2, load.totalL);
	const pace = await paceOf(db, sprayer, details.operator);
	// Where the mix that was carried in is all, nothing is filled.
	const isFilled = isMixed && (load.newMixL > 0 || load.carriedInL === 0);
	const given = isFilled ? givenOf(load, lines, placed, products, sprayer, { startL, pace }) : null;
	const filled = given?.ok ? fill(given.value) : given;
	const card: LoadCard = {
		jobId,
		job: job.name,
		code: `${job.code}-${number}`,
		farm: farm.farmName ?? '',
		date: job.sprayDate,
		load: number,
		kind: job.kind,
		loads: plan.loads.at(-1)?.load ?? 0,
		sprayer: sprayer.name,
		sprayVolumeLPerHa: job.sprayVolume,
		capacityL: sprayer.capacityL,
		carrier,
		seed: details.seed,
		indoors: details.indoors && { ...details.indoors, spaces: await withPlaces(db, details.indoors.spaces) },
		keepOut: details.indoors && keepOutOf([...products.values()]),
		operator: details.operator,
		nozzle: details.nozzle,
		pressureBar: details.pressureBar,
		speedKmh: details.speedKmh,
		boomHeightM: details.boomHeightM,
		bufferM: details.bufferM,
		plan: load,
		ends: endOf(plan.loads, number),
		order: lines.map((line, index) => {
			const product = products.get(line.productId);
			const step = placed.find(({ name }) => name === line.name);
			return {
				step: index + 1,
				productId: line.productId,
				name: line.name,
				formulation: line.formulation,
				unit: line.unit,
				dose: shownDose(details.doses[line.productId], line, doses.get(line.productId) ?? 0),
				amount: line.amount,
				fullPacks: line.fullPacks,
				fromOpened: line.fromOpened,
				measured: line.measured,
				...(line.takes ? { takes: line.takes } : {}),
				why: step?.why ?? '',
				source: step?.source ?? '',
				protection: product?.protection ?? null,
				cautions: product?.cautions ?? null,
				hazards: product?.hazards ?? [],
			};
		}),
		orderProblem: order.ok ? null : sentenceOf(order.problem),
		fill: filled?.ok ? filled.value : null,
		fillProblem: filled && !filled.ok ? sentenceOf(filled.problem) : null,
		rinseRule: isMixed
			? rinseRuleOf(
					sprayer,
					(given?.ok && given.value.containers.some(({ method }) => method === 'closed transfer')) ?? false,
				)
			: job.kind === 'neat liquid'
				? EMPTY_NEAT
				: EMPTY_BAGS,
		startL,
		pace,
		limits: plan.limits,
		toAnswer: plan.toAnswer,
		...(plan.totals.nutrients ? { nutrients: plan.totals.nutrients } : {}),
		overrideWhy: details.overrideWhy,
		cautions: cautionsOf(job.kind, lines.length),
	};
	const portions = isMixed ? null : portionsOfLoad(load, lines);
	return ok({ card, given: given?.ok ? given.value : null, portions });
}

async function withPlaces(db: ReadDb, spaces: readonly PlannedSpace[]) {
	const placed: (PlannedSpace & { place: string | null })[] = [];
	for (const space of spaces) {
		const row = await findSpace(db, space.spaceId);
		placed.push({ ...space, place: (row && spaceOf(row).place) ?? null });
	}
	return placed;
}

/** When a closed space may be entered again: the longest time of the labels on the books, and those that name none. */
function keepOutOf(products: readonly Product[]): string {
	const waits = products.map(({ name, limits }) => ({ name, hours: standingWaits(limits, []).reentryH }));
	const longest = waits.reduce((most, { hours }) => Math.max(most, hours ?? 0), 0);
	const unknown = waits.flatMap(({ name, hours }) => (hours === null ? [name] : []));
	const told =
		longest > 0 ? `Keep everyone out for ${longest} h after the end, and ventilate before anyone enters.` : '';
	const rest = `No time is on the books for ${unknown.join(', ')}: read the label for how long to keep out and ventilate.`;
	return [told, unknown.length > 0 ? rest : ''].filter(Boolean).join(' ') || VENTILATE;
}

/** Common practice. */
const VENTILATE = 'Ventilate before anyone enters, as the label says.';

function givenOf(
	load: PlannedLoad,
	lines: readonly Line[],
	order: readonly Placed[],
	products: Map<string, Product>,
	sprayer: Sprayer,
	{ startL, pace }: { startL: number; pace: Pace },
): Result<FillGiven> {
	const containers: FillContainer[] = [];
	const waits: Record<string, number> = {};
	for (const line of lines) {
		const product = products.get(line.productId);
		const volume = displacementOf(
			{
				name: line.name,
				formulation: line.formulation,
				unit: line.unit,
				packSizes: [],
				openedPack: 0,
				relativeDensity: product?.relativeDensity ?? null,
				displacementLPerKg: product?.displacementLPerKg ?? null,
			},
			'products',
		);
		if (!volume.ok) return volume;
		for (const portion of portionsOf(line)) {
			const method = product ? methodOf(product, portion.size) : undefined;
			const volumeL = portion.size * volume.value.litresPerUnit;
			containers.push({ ...portion, volumeL, ...(method ? { method } : {}) });
		}
		const dry = formulationOf(line.formulation)?.state === 'solid' || product?.waterSolubleBag;
		const usual = order.find(({ name }) => name === line.name)?.waitAfterS ?? 0;
		waits[line.name] = sprayer.waitAfterS ?? (dry ? usual : 0);
	}
	const { rinsesS, drainS, rinseLPerMin, rinseFrom } = sprayer;
	// Rinses and drain stand as they are set; what is faster or slower is opening and pouring.
	const restS = rinsesS.reduce((sum, rinseS) => sum + rinseS, 0) + drainS;
	const openAndPourS = Math.max(0, pace.secondsPerContainer - restS);
	return ok({
		totalL: load.totalL,
		waterL: load.waterL + (load.carrierL ?? 0),
		carriedInL: load.carriedInL,
		inflowLPerMin: pace.inflowLPerMin,
		startL,
		containers,
		handling: { preSlurryS: 0, openAndPourS, rinsesS, drainS, rinseLPerMin, rinseFrom, waitAfterS: waits },
		closeReserveL: Math.min(sprayer.closeReserveL, load.totalL / 4),
		valveRunOnL: sprayer.valveRunOnL,
		leastWaterL: 0,
	});
}

/** What is measured and poured one after another; of a mix in several fills of a small tank, fill by fill, the water first. */
function portionsOfLoad(load: PlannedLoad, lines: readonly Line[]): Portion[] {
	const { fills } = load;
	if (!fills) return [...waterOf(load), ...lines.flatMap(portionsOf)];
	return fills.flatMap(({ count, waterL, amounts }) => {
		const poured = lines.map(({ name: product, unit, productId }) => {
			const at = load.products.findIndex((line) => line.productId === productId);
			return { product, size: amounts[at] ?? 0, unit };
		});
		const one: Portion[] = [{ product: WATER, size: waterL, unit: 'L' }, ...poured];
		return Array.from({ length: count }, () => one.filter(({ size }) => size > 0)).flat();
	});
}

/** The water that is measured for the slurry of a batch. Water before product: common practice. */
function waterOf({ slurryL, waterL }: PlannedLoad): Portion[] {
	return slurryL !== undefined && waterL > 0 ? [{ product: WATER, size: waterL, unit: 'L' }] : [];
}

/** What is in the hand one after another: the opened pack, full ones, the measured part. */
function portionsOf({ name: product, unit, fromOpened, fullPacks, measured }: Line): Portion[] {
	const sizes = [fromOpened, ...fullPacks.flatMap(({ size, count }) => Array<number>(count).fill(size)), measured];
	return sizes.filter((size) => size > 0).map((size) => ({ product, size, unit }));
}

function methodOf(product: Product, size: number): HandlingMethod | undefined {
	if (product.waterSolubleBag) return 'water-soluble bag';
	return drawnClosed({ ...product, closures: product.closures ?? [] }, size) ? 'closed transfer' : undefined;
}

/** Common practice. */
const EMPTY_BAGS =
	'Empty each bag or container to the last. Rinse what held a liquid as its label says; dry ones are not rinsed. Keep them closed for collection.';

/** Common practice: no water goes into a tank of neat product. */
const EMPTY_NEAT =
	'Empty each container to the last and keep it closed. Rinse it only as its label says; no rinse water goes into this tank.';

/** How far into its last field a load ends, with what the loads before it sprayed there. */
function endOf(loads: readonly PlannedLoad[], number: number): LoadCard['ends'] {
	const last = loads.find(({ load }) => load === number)?.ground.at(-1);
	if (!last) return null;
	const there = loads
		.filter(({ load }) => load <= number)
		.flatMap(({ ground }) => ground)
		.filter(({ fieldId }) => fieldId === last.fieldId);
	return {
		field: last.field,
		intoHa: there.reduce((sum, { areaHa }) => sum + areaHa, 0),
		finishes: last.finishesField,
	};
}

function rinseRuleOf({ rinsesS, drainS, rinseFrom }: Sprayer, closed: boolean): string {
	const caps = closed ? ' Closed transfer rinses the container itself; rinse its cap last.' : '';
	return openRinseRule({ rinsesS, drainS, rinseFrom }) + caps;
}

function openRinseRule({ rinsesS, drainS, rinseFrom }: Pick<Sprayer, 'rinsesS' | 'drainS' | 'rinseFrom'>): string {
	if (rinsesS.length === 0) return 'No rinse is set for this sprayer: rinse as the label says.';
	const times = rinsesS.every((time) => time === rinsesS[0])
		? `${rinsesS.length} × ${rinsesS[0]} s`
		: rinsesS.map((time) => `${time} s`).join(', ');
	const drain = drainS > 0 ? `, then drain ${drainS} s` : '';
	return `Rinse each container ${times} from the ${rinseFrom}${drain}. It counts as rinsed after its clean-water rinses.`;
}
