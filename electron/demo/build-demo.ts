import { addDays, seasonOf } from '../../shared/basics/calendar.ts';
import { invariant, ok, type Result } from '../../shared/basics/result.ts';
import { toLocalDate } from '../procedures/clock.ts';
import type { QueryContext } from '../procedures/handler.ts';
import { demoFields } from './demo-fields.ts';
import { answerDrains, limitNitrogen } from './demo-limits.ts';
import { certifiedOperator, type Machines, machines } from './demo-machines.ts';
import { demoMargins } from './demo-margins.ts';
import { demoProducts } from './demo-products.ts';
import { programme, type Treatment, treatmentDate } from './demo-programme.ts';
import { countAll } from './demo-stock-take.ts';
import { demoStore } from './demo-store.ts';
import { underRoof } from './demo-under-roof.ts';
import { handOverEmpties } from './demo-waste.ts';
import { fillInYard, incidentsAt, rinseOutAfter } from './demo-yard.ts';

/** Calls a procedure by its name, as any door would. */
export type CallProcedure = (name: string, input: object) => Promise<Result<unknown>>;

const FARM = 'Thornmere Farm';
const OPERATOR = 'A. Marsh';
const OFFICE = 'J. Wren';
const SEASON_START_MONTH = 10;
/** Of so many jobs back the fills were run in the yard, press by press. */
const FILLS_IN_YARD = 8;
const ADVISER = { adviser: 'M. Fairley', certificateNo: 'ADV-2207' };

type Application = { readonly treatment: Treatment; readonly date: string; readonly harvest: number };
type Ids = {
	readonly fields: ReadonlyMap<
		string,
		{ id: string; crops: ReadonlyMap<number, string>; areaHa: number; ditchM: number | null }
	>;
	readonly products: ReadonlyMap<string, { id: string; unit: string; packSizes: readonly number[] }>;
	readonly machines: Machines;
};

/**
 * Builds the demonstration farm through the same procedures the screens use: a finished season, and the present one as
 * far as today. Every call has a fixed key, so a build that was cut short goes on where it stopped. The farm's name comes
 * last: while it is missing the build is not done.
 */
export async function buildDemo(context: QueryContext, call: CallProcedure): Promise<Result<{ fields: number }>> {
	const { now, farm } = context;
	if (farm.farmName !== null) return ok({ fields: demoFields().length });
	const today = toLocalDate(now, farm.zone);
	const season = seasonOf(today, SEASON_START_MONTH);
	const need = needFrom(call);
	await need('settings.save', {
		key: 'demo-settings',
		seasonStartMonth: SEASON_START_MONTH,
		operator: OPERATOR,
		ruleSet: 'uk-code',
	});
	await certifiedOperator(need, OPERATOR, today);
	const ids = await register(need, season);
	const applications = [season - 1, season]
		.flatMap((harvest) =>
			programme.map((treatment) => ({ treatment, harvest, date: treatmentDate(treatment, harvest) })),
		)
		.filter(({ date }) => date < today)
		.sort((a, b) => (a.date < b.date ? -1 : 1));
	const counts = [`${season - 1}-03-01`, `${season - 1}-09-28`].filter((date) => date < today);
	const collections = [`${season - 1}-09-30`].filter((date) => date < today);
	const events = [
		...deliveries(applications, ids),
		...spares(ids, season),
		...counts.map((date, index) => ({ date, order: 2, run: () => countAll(need, ids.products, date, index, OFFICE) })),
		...underRoof(need, { ...ids, ...ids.machines, operator: OPERATOR, office: OFFICE }, { season, today }),
		...collections.map((date) => ({ date, order: 2, run: () => handOverEmpties(need, date, OPERATOR) })),
		...applications.map((application, index) => ({
			date: application.date,
			order: 1,
			run: () =>
				applyOne(need, ids, application, {
					newest: index === applications.length - 1,
					inYard: index >= applications.length - FILLS_IN_YARD,
				}),
		})),
	].sort((a, b) => (a.date === b.date ? a.order - b.order : a.date < b.date ? -1 : 1));
	for (const event of events) await (typeof event.run === 'function' ? event.run() : need('store.receive', event.run));
	await limitNitrogen(need, ids.fields);
	await answerDrains(need, ids.fields);
	await planNext(need, ids, season, addDays(today, 3));
	await need('settings.save', { key: 'demo-name', farmName: FARM });
	return ok({ fields: ids.fields.size });
}

type Need = <Output>(name: string, input: object) => Promise<Output>;

/** The demonstration data is ours: a refusal is a mistake in it. */
function needFrom(call: CallProcedure): Need {
	return async <Output>(name: string, input: object) => {
		const answer = await call(name, input);
		invariant(
			answer.ok,
			`the demonstration farm: ${name} was refused: ${answer.ok ? '' : JSON.stringify(answer.problem)}`,
		);
		return answer.value as Output;
	};
}

async function register(need: Need, season: number): Promise<Ids> {
	const fields = new Map<string, { id: string; crops: Map<number, string>; areaHa: number; ditchM: number | null }>();
	for (const field of demoFields()) {
		const [first] = field.ring;
		const geometry = { type: 'Polygon', coordinates: [[...field.ring, first]] };
		const { areaHa } = await need<{ areaHa: number }>('fields.measure', { geometry });
		const mappedHa = Number((areaHa * field.mappedFactor).toFixed(2));
		const { code } = field;
		const { id } = await need<{ id: string }>('fields.add', {
			key: `demo-field-${code}`,
			name: field.name,
			code,
			mappedHa,
			geometry,
		});
		for (const [index, { crop, eppo, harvest: day }] of field.crops.entries()) {
			const harvest = season - 1 + index;
			const came = index === 0 ? { harvestOn: `${harvest}-${day}` } : {};
			const grown = { season: harvest, crop, eppoCode: eppo, ...came };
			await need('fields.setCrop', { key: `demo-crop-${code}-${harvest}`, id, ...grown });
		}
		if (field.ditchM !== null) {
			const edges = Array.from({ length: 6 }, (_, edge) => ({ ring: 0, edge }));
			await need('fields.addStrip', {
				key: `demo-strip-${code}`,
				id,
				kind: 'strip',
				label: `${field.ditchM} m along the ditch`,
				widthM: field.ditchM,
				edges,
			});
		}
		if (field.obstacleHa !== null) {
			const label = field.name === 'Pond Field' ? 'Pond' : 'Mill mound';
			await need('fields.addStrip', {
				key: `demo-obstacle-${code}`,
				id,
				kind: 'obstacle',
				label,
				areaHa: field.obstacleHa,
			});
		}
		const crops = new Map(field.crops.map(({ crop }, index) => [season - 1 + index, crop]));
		fields.set(field.name, { id, crops, areaHa, ditchM: field.ditchM });
	}
	const products = new Map<string, { id: string; unit: string; packSizes: readonly number[] }>();
	for (const product of demoProducts) {
		const { id } = await need<{ id: string }>('products.add', { key: `demo-product-${product.name}`, ...product });
		products.set(product.name, { id, unit: product.unit, packSizes: product.packSizes });
	}
	await need('store.saveSite', { key: 'demo-site', version: 0, ...demoStore });
	return { fields, products, machines: await machines(need, season) };
}

function fieldsFor(ids: Ids, { treatment, harvest }: Application) {
	return [...ids.fields.values()].filter(({ crops }) => crops.get(harvest) === treatment.crop);
}

/** What each season needs, delivered twelve days before the first use, in whole packs and a little over. */
function deliveries(applications: readonly Application[], ids: Ids) {
	const found: { date: string; order: number; run: object }[] = [];
	const uses = applications.flatMap((application) =>
		application.treatment.products.map(([product, dose]) => {
			const areaHa = fieldsFor(ids, application).reduce((sum, field) => sum + field.areaHa, 0);
			return { product, harvest: application.harvest, date: application.date, amount: dose * areaHa };
		}),
	);
	for (const application of applications) {
		const { carrier: product, sprayVolume } = application.treatment;
		if (product === undefined) continue;
		const areaHa = fieldsFor(ids, application).reduce((sum, field) => sum + field.areaHa, 0);
		const { harvest, date } = application;
		uses.push({ product, harvest, date, amount: sprayVolume * areaHa });
	}
	for (const [product, ofProduct] of Map.groupBy(uses, (use) => use.product)) {
		const known = ids.products.get(product);
		const size = known?.packSizes[0] ?? 1;
		for (const [harvest, inSeason] of Map.groupBy(ofProduct, (use) => use.harvest)) {
			const [first] = inSeason;
			if (!first || !known) continue;
			const amount = inSeason.reduce((sum, use) => sum + use.amount, 0);
			const packs = Math.ceil((amount * 1.04) / size) + 1;
			found.push({
				date: addDays(first.date, -12),
				order: 0,
				run: {
					key: `demo-delivery-${harvest}-${product}`,
					productId: known.id,
					packSize: size,
					packs,
					date: addDays(first.date, -12),
					batch: `${String(harvest).slice(2)}${String(product.length * 37 + packs).padStart(4, '0')}`,
					expires: `${harvest + 2}-${first.date.slice(5, 7)}-28`,
					note: `DN ${harvest}-${String(1400 + packs * 7 + product.length)}`,
					by: OFFICE,
				},
			});
		}
	}
	return found;
}

/** Bought and not used yet. */
function spares(ids: Ids, season: number) {
	const date = `${season - 1}-02-02`;
	const known = ids.products.get('Fennimer 80');
	if (!known) return [];
	const line = { productId: known.id, packSize: 1, packs: 6, batch: 'F80-2', expires: `${season + 1}-02-28` };
	return [{ date, order: 0, run: { key: 'demo-spare', ...line, date, note: `DN ${season - 1}-1377`, by: OFFICE } }];
}

type DemoLoad = {
	readonly load: number;
	readonly areaHa: number;
	readonly waterL: number;
	readonly carrierL?: number;
	readonly products: readonly { readonly productId: string; readonly amount: number }[];
};
type Added = { readonly id: string; readonly loads: readonly DemoLoad[] };

/** Adds a job and logs its loads; the newest one is left with its last load still to spray. */
async function applyOne(
	need: Need,
	ids: Ids,
	application: Application,
	{ newest, inYard }: { newest: boolean; inYard: boolean },
): Promise<void> {
	const { treatment, date, harvest } = application;
	const fields = fieldsFor(ids, application);
	if (fields.length === 0) return;
	const key = `demo-${harvest}-${treatment.name}`;
	const job = await need<Added>('jobs.add', {
		key,
		name: treatment.name,
		...broughtOut(treatment, ids),
		fields: fields.map(({ id }) => ({ fieldId: id })),
		products: treatment.products.map(([name, dosePerHa]) => ({ productId: ids.products.get(name)?.id, dosePerHa })),
		date,
		reason: treatment.reason,
		growthStage: treatment.stage,
		operator: OPERATOR,
		...(treatment.advised ? { recommendationId: await advise(need, ids, application) } : {}),
	});
	const logged = newest && job.loads.length > 1 ? job.loads.slice(0, -1) : job.loads;
	const carrierId = treatment.carrier ? ids.products.get(treatment.carrier)?.id : undefined;
	for (const { load, waterL, carrierL = 0, products } of logged) {
		const startMinute = 7 * 60 + 10 + (load - 1) * 85;
		const meteredL = Math.round((waterL + carrierL) * (1 + ((load * 7) % 5) / 1000));
		if (inYard && !treatment.granules && load <= 2) {
			const last = load === Math.min(2, logged.length);
			const when = { date, sprayedFromMinute: startMinute };
			await fillInYard(need, `${key}-${load}`, { jobId: job.id, load, waterL: meteredL }, when, OPERATOR, last);
		}
		await need('jobs.logLoad', {
			key: `${key}-load-${load}`,
			jobId: job.id,
			load,
			startedAt: at(date, startMinute),
			finishedAt: at(date, startMinute + 70),
			operator: OPERATOR,
			...(treatment.atWater ? { margins: demoMargins(fields) } : {}),
			...(treatment.inFlower ? { flowering: treatment.inFlower } : {}),
			...(newest ? {} : { rinsed: treatment.granules ? 'not rinsed' : 'integrated' }),
			actual: {
				...(treatment.granules ? {} : { meteredL }),
				products: products
					.filter(({ productId }) => productId !== carrierId)
					.map(({ productId, amount }) => ({ productId, amount })),
			},
			weather: {
				temperatureC: 8 + ((load * 3 + treatment.name.length) % 8),
				humidityPercent: 62 + ((load * 5 + treatment.name.length) % 20),
				windSpeedKmh: 6 + ((load + treatment.name.length) % 6),
				windDirection: ['SW', 'W', 'NW', 'S'][treatment.name.length % 4],
				windHeightM: 2,
			},
		});
	}
	const spilt = treatment.spilt && {
		productId: ids.products.get(treatment.spilt[0])?.id ?? '',
		amount: treatment.spilt[1],
	};
	if (spilt || treatment.foamed)
		await incidentsAt(need, key, { jobId: job.id, load: 1, date, spilt: spilt ?? null }, OPERATOR);
	if (newest && job.loads.length > 1) return;
	const minute = 7 * 60 + 10 + logged.length * 85 + 20;
	const onto = treatment.washedOut ? fields.at(-1)?.id : undefined;
	if (!treatment.granules)
		await rinseOutAfter(need, key, { sprayerId: ids.machines.sprayerId, jobId: job.id, date, minute, onto }, OPERATOR);
	const areaHa = job.loads.reduce((sum, load) => sum + load.areaHa, 0);
	const read = treatment.granules
		? []
		: READ_BY_FIELD.flatMap((name) => fields.filter((field) => field === ids.fields.get(name)));
	await need('jobs.close', {
		key: `${key}-close`,
		id: job.id,
		sprayedHa: Number((areaHa * (1.002 + (treatment.name.length % 5) / 1000)).toFixed(2)),
		...(treatment.granules
			? {}
			: {
					...(read.length > 0 ? { fields: read.map((field) => counted(field, treatment.name)) } : {}),
					controllerL: Math.round(areaHa * treatment.sprayVolume * (0.998 + (treatment.name.length % 4) / 1000)),
					leftL: 8 + (treatment.name.length % 12),
				}),
		by: OPERATOR,
	});
}

/** Fields without strips whose area the operator reads off the counter by itself; it says a little less than the boundary. */
const READ_BY_FIELD = ['Rookery', 'Gull Field', 'Parsonage'];

function counted({ id, areaHa }: { readonly id: string; readonly areaHa: number }, job: string) {
	return { fieldId: id, sprayedHa: Number((areaHa * (0.9955 + (job.length % 4) / 1000)).toFixed(2)) };
}

/** The adviser's sheet a treatment was planned from, with the doses recommended. */
async function advise(need: Need, ids: Ids, { treatment, date, harvest }: Application): Promise<string> {
	const { id } = await need<{ id: string }>('recommendations.add', {
		key: `demo-advice-${harvest}-${treatment.name}`,
		...ADVISER,
		reference: `${harvest}/${treatment.day.replace('-', '')}`,
		givenOn: addDays(date, -6),
		validUntil: addDays(date, 8),
		crop: treatment.crop,
		products: treatment.products.map(([name, dose]) => ({
			productId: ids.products.get(name)?.id,
			dosePerHa: treatment.advised?.[name] ?? dose,
		})),
		sprayVolumeLPerHa: treatment.sprayVolume,
		growthStage: treatment.stage,
		reason: treatment.reason,
		by: OFFICE,
	});
	return id;
}

function broughtOut({ granules, carrier, sprayVolume }: Treatment, ids: Ids) {
	if (granules) return { kind: 'granules', sprayerId: ids.machines.applicatorId };
	const spray = { sprayerId: ids.machines.sprayerId, sprayVolumeLPerHa: sprayVolume };
	if (carrier === undefined) return spray;
	return { ...spray, kind: 'spray in liquid fertiliser', carrier: { productId: ids.products.get(carrier)?.id } };
}

/** A job that is planned and waits for its card. */
async function planNext(need: Need, ids: Ids, season: number, date: string): Promise<void> {
	const fields = [...ids.fields.values()].filter(({ crops }) =>
		['Spring beans', 'Sugar beet'].includes(crops.get(season) ?? ''),
	);
	const mix = [
		{ productId: ids.products.get('Saltmarsh conditioner')?.id, dosePerHa: 0.5 },
		{ productId: ids.products.get('Quillon 480')?.id, dosePerHa: 2 },
	];
	const { id: recommendationId } = await need<{ id: string }>('recommendations.add', {
		key: 'demo-next-advice',
		...ADVISER,
		reference: `${season}/stubbles`,
		givenOn: addDays(date, -5),
		validUntil: addDays(date, 9),
		fieldIds: fields.map(({ id }) => id),
		products: mix,
		sprayVolumeLPerHa: 120,
		reason: 'volunteers and grass weeds',
		by: OFFICE,
	});
	await need('jobs.add', {
		key: 'demo-next-job',
		recommendationId,
		name: 'Stubbles before spring crops',
		sprayerId: ids.machines.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: fields.map(({ id }) => ({ fieldId: id })),
		products: mix,
		date,
		reason: 'volunteers and grass weeds',
		operator: OPERATOR,
	});
}

function at(date: string, minute: number): string {
	const hour = String(Math.floor(minute / 60)).padStart(2, '0');
	return `${date}T${hour}:${String(minute % 60).padStart(2, '0')}:00`;
}
