/**
 * A farm that is known to the last millilitre, and what its books say: the true areas, pours, litres and store run beside
 * the recorded ones, so that one known fault at a time can be put in. All products, fields and figures are invented.
 */
import type {
	Booking,
	LoadProduct,
	ProductCount,
	SeasonBooks,
	SeasonJob,
	SeasonLoad,
	SeasonProduct,
} from '../../../../../shared/core/reconcile/season-books.ts';
import { seededRandom } from '../../../seeded-random.ts';

export const faults = [
	'none',
	'register area',
	'inlet meter',
	'load not logged',
	'measuring',
	'products mixed up',
	'delivery not booked',
	'wrong count',
] as const;
export type Fault = (typeof faults)[number];

export type FarmOptions = {
	readonly seed: number;
	readonly fault: Fault;
	/** Counts between the first and the last. */
	readonly countsBetween?: number;
	readonly sprayers?: number;
	readonly reports?: { readonly counter: boolean; readonly controller: boolean };
};

/** What was done to the books, in the words of the program. */
export type TruthAboutFault = {
	readonly productIds: readonly string[];
	readonly fieldIds: readonly string[];
	readonly sprayerIds: readonly string[];
	readonly note: string;
};

type Random = () => number;
type Recipe = {
	readonly products: readonly { readonly index: number; readonly dose: number }[];
	readonly volume: number;
};
type TrueProduct = { readonly id: string; readonly unit: 'L' | 'kg'; readonly pack: number; readonly jug: number };
type TrueField = { readonly id: string; readonly trueHa: number; registerHa: number };
type TrueSprayer = {
	readonly id: string;
	readonly tankL: number;
	counter: number;
	meter: number;
	readonly controller: number;
};
type TrueLoad = { readonly load: SeasonLoad; readonly poured: Map<string, number> };
type TrueJob = { readonly job: SeasonJob; readonly loads: TrueLoad[] };

const DAY = 86_400_000;
const START = Date.UTC(2026, 9, 1);
const MEASURE_STEP = 0.01;

/** The books of one season on one farm, with one fault or none. The same seed without the fault is the same farm. */
export function simulatedFarm(options: FarmOptions): { books: SeasonBooks; truth: TruthAboutFault } {
	const random = seededRandom(options.seed * 7919);
	const faultRandom = seededRandom(options.seed * 104_729 + 1);
	const products = trueProducts(random);
	const fields = trueFields(random);
	const sprayers = trueSprayers(random, options.sprayers ?? (random() < 0.5 ? 1 : 2));
	const plan = seasonPlan(random, products, fields, sprayers);
	const truth = { productIds: [] as string[], fieldIds: [] as string[], sprayerIds: [] as string[], note: '' };

	if (options.fault === 'register area') {
		const sprayed = fields.filter((field) => plan.some((job) => job.fieldIds.includes(field.id)));
		const wrong = faultRandom() < 0.5 ? sprayed : [pick(faultRandom, sprayed)];
		for (const field of wrong) field.registerHa *= 0.97;
		truth.fieldIds.push(...wrong.map((field) => field.id));
	}
	if (options.fault === 'inlet meter') {
		const sprayer = pick(faultRandom, sprayers);
		sprayer.meter += 0.04;
		truth.sprayerIds.push(sprayer.id);
	}
	const opened = new Map<string, number>();
	const jobs = plan.map((entry, index) => {
		const noise = seededRandom(options.seed * 15_485_863 + index);
		return sprayJob(noise, entry, { products, fields, opened, options });
	});
	const done = jobs.flatMap((job) => job.loads);
	applyPourFault(options.fault, faultRandom, products, done, truth);
	const store = trueStore(seededRandom(options.seed * 32_452_843 + 3), products, done, options.countsBetween ?? 0);
	applyStoreFault(options.fault, faultRandom, products, store, truth);
	const books = keptBooks(jobs, products, store);
	return { books: options.fault === 'load not logged' ? withoutOneLoad(faultRandom, books, truth) : books, truth };
}

function trueProducts(random: Random): TrueProduct[] {
	return Array.from({ length: between(random, 8, 14) }, (_, index) => ({
		id: `P${String(index + 1).padStart(2, '0')}`,
		unit: random() < 0.8 ? 'L' : 'kg',
		pack: pick(random, [1, 5, 5, 5, 10, 10, 20]),
		jug: normal(random, 0.01),
	}));
}

function trueFields(random: Random): TrueField[] {
	return Array.from({ length: between(random, 5, 10) }, (_, index) => {
		const trueHa = 3 + random() * 20;
		return { id: `F${index + 1}`, trueHa, registerHa: trueHa * Math.exp(normal(random, 0.005)) };
	});
}

function trueSprayers(random: Random, count: number): TrueSprayer[] {
	return Array.from({ length: count }, (_, index) => ({
		id: `S${index + 1}`,
		tankL: pick(random, [2000, 3000, 4000]),
		counter: normal(random, 0.005),
		meter: normal(random, 0.0035),
		controller: normal(random, 0.0035),
	}));
}

type PlannedJob = {
	readonly id: string;
	readonly day: number;
	readonly recipe: Recipe;
	readonly fieldIds: string[];
	readonly sprayer: TrueSprayer;
};

/** Every product in at least one recipe; jobs until about 20 to 60 loads stand. */
function seasonPlan(
	random: Random,
	products: readonly TrueProduct[],
	fields: readonly TrueField[],
	sprayers: readonly TrueSprayer[],
): PlannedJob[] {
	const recipes: Recipe[] = [];
	for (let next = 0; next < products.length; ) {
		const size = Math.min(between(random, 1, 3), products.length - next);
		const indexes = Array.from({ length: size }, (_, step) => next + step);
		if (random() < 0.4) indexes.push(Math.floor(random() * products.length));
		const parts = [...new Set(indexes)].map((index) => ({ index, dose: round(0.1 + random() * 2, 2) }));
		recipes.push({ products: parts, volume: pick(random, [100, 150, 200]) });
		next += size;
	}
	const target = between(random, 20, 60);
	const jobs: PlannedJob[] = [];
	for (let loads = 0; loads < target; ) {
		const sprayer = pick(random, sprayers);
		const recipe = jobs.length < recipes.length ? (recipes[jobs.length] as Recipe) : pick(random, recipes);
		const fieldIds = shuffled(random, fields)
			.slice(0, between(random, 1, 3))
			.map((field) => field.id);
		const areaHa = sum(fields.filter((field) => fieldIds.includes(field.id)).map((field) => field.registerHa));
		loads += Math.ceil((areaHa * recipe.volume) / sprayer.tankL);
		jobs.push({ id: `J${jobs.length + 1}`, day: 0, recipe, fieldIds, sprayer });
	}
	return jobs.map((job, index) => ({ ...job, day: Math.floor(10 + (280 * (index + 0.5)) / jobs.length) }));
}

/** One job, done: what really went into the tank and onto the ground, and what was written down. */
function sprayJob(
	noise: Random,
	{ id, day, recipe, fieldIds, sprayer }: PlannedJob,
	farm: {
		products: readonly TrueProduct[];
		fields: readonly TrueField[];
		opened: Map<string, number>;
		options: FarmOptions;
	},
): TrueJob {
	// Drawn first, so that a fault elsewhere changes none of them.
	const counterError = 1 + sprayer.counter + normal(noise, 0.01);
	const rateError = 1 + normal(noise, 0.01);
	const leftError = { share: normal(noise, 0.1), litres: normal(noise, 5) };
	const meterNoise = Array.from({ length: 12 }, () => normal(noise, 0.02));
	const fields = farm.fields.filter((field) => fieldIds.includes(field.id));
	const loadedForHa = sum(fields.map((field) => field.registerHa));
	const mixL = loadedForHa * recipe.volume;
	const count = Math.ceil(mixL / sprayer.tankL);
	const date = dateOf(day);
	const loads = Array.from({ length: count }, (_, index): TrueLoad => {
		const newMixL = index < count - 1 ? sprayer.tankL : mixL - sprayer.tankL * (count - 1);
		const poured = new Map<string, number>();
		const lines = recipe.products.map(({ index: productIndex, dose }): LoadProduct => {
			const product = farm.products[productIndex] as TrueProduct;
			const planned = round((dose * newMixL) / recipe.volume, 2);
			const { measured, wholePacks } = draw(farm.opened, product, planned);
			const slip = normal(noise, Math.hypot(MEASURE_STEP / 2, 0.02 * measured)) + product.jug * measured;
			poured.set(product.id, planned + (measured > 0 ? slip : 0));
			return { productId: product.id, planned, poured: planned, measured, wholePacks, confirmed: noise() < 0.6 };
		});
		const at = START + day * DAY + (8 + index) * 3_600_000;
		const load = { loadId: `${id}.${index + 1}`, jobId: id, load: index + 1, at, date, newMixL, logged: true };
		return { load: { ...load, products: lines }, poured };
	});
	// The controller holds the set rate by its own litres and its own area.
	const reports = farm.options.reports ?? { counter: true, controller: true };
	const controllerError = 1 + sprayer.controller;
	const madeL = sum(loads.map(({ load }, index) => load.newMixL / (1 + sprayer.meter + (meterNoise[index % 12] ?? 0))));
	const litresPerTrueHa = (recipe.volume * rateError * counterError) / controllerError;
	const trueHa = sum(fields.map((field) => field.trueHa));
	const coveredHa = Math.min(trueHa, madeL / litresPerTrueHa);
	const leftL = Math.max(0, madeL - trueHa * litresPerTrueHa);
	const job: SeasonJob = {
		jobId: id,
		name: `Job ${id}`,
		date,
		sprayerId: sprayer.id,
		sprayer: `Sprayer ${sprayer.id}`,
		sprayVolumeLPerHa: recipe.volume,
		areaLoadedForHa: loadedForHa,
		fields: fields.map((field) => ({
			fieldId: field.id,
			name: `Field ${field.id}`,
			areaHa: field.registerHa,
			areaSigmaHa: null,
		})),
		counterHa: reports.counter ? coveredHa * counterError : null,
		controllerL: reports.controller ? coveredHa * litresPerTrueHa * controllerError : null,
		leftL: leftL > 0 ? Math.max(0, leftL * (1 + leftError.share) + leftError.litres) : 0,
		ranOutHa: trueHa - coveredHa,
		carriedInL: 0,
		mixedL: sum(loads.map(({ load }) => load.newMixL)),
		rinseL: 0,
		unsprayableL: 0,
		spilledL: 0,
	};
	return { job, loads };
}

/** Opened container first, then whole packs, then a measured part of a new one. */
function draw(
	opened: Map<string, number>,
	product: TrueProduct,
	amount: number,
): { measured: number; wholePacks: number } {
	const left = opened.get(product.id) ?? 0;
	if (amount <= left) {
		opened.set(product.id, left - amount);
		return { measured: amount, wholePacks: 0 };
	}
	const rest = amount - left;
	const wholePacks = Math.floor(rest / product.pack + 1e-9);
	const part = Math.max(0, rest - wholePacks * product.pack);
	opened.set(product.id, part > 1e-9 ? product.pack - part : 0);
	return { measured: part > 1e-9 ? part : 0, wholePacks };
}

type ProductStore = { readonly counts: ProductCount[]; readonly bookings: Booking[] };

/** What stood in the store: whole packs counted exactly, the opened one judged within a twentieth of its size. */
function trueStore(
	random: Random,
	products: readonly TrueProduct[],
	loads: readonly TrueLoad[],
	countsBetween: number,
): Map<string, ProductStore> {
	return new Map(
		products.map((product) => {
			const pours = loads.map(({ load, poured }) => ({ at: load.at, amount: poured.get(product.id) ?? 0 }));
			const opening = product.pack * Math.floor(random() * 4) + (random() < 0.5 ? random() * product.pack : 0);
			const bookings = deliveriesFor(random, product, opening, pours);
			const days = [
				0,
				...Array.from({ length: countsBetween }, (_, k) => Math.round((300 * (k + 1)) / (countsBetween + 1))),
				300,
			];
			const counts = days.map((day): ProductCount => {
				const at = START + day * DAY;
				const came = sum(bookings.filter((booking) => booking.at <= at).map((booking) => booking.amount));
				const went = sum(pours.filter((pour) => pour.at <= at).map((pour) => pour.amount));
				const stood = opening + came - went;
				const part = stood - product.pack * Math.floor(stood / product.pack);
				const isOpened = part > 1e-6;
				const judged = stood + (isOpened ? normal(random, 0.05 * product.pack) : 0);
				return { at, date: dateOf(day), amount: judged, openedContainers: isOpened ? 1 : 0 };
			});
			return [product.id, { counts, bookings }];
		}),
	);
}

/** Ordered whenever the store would not cover the next load: for some weeks ahead, in whole packs. */
function deliveriesFor(
	random: Random,
	product: TrueProduct,
	opening: number,
	pours: readonly { readonly at: number; readonly amount: number }[],
): Booking[] {
	const bookings: Booking[] = [];
	const lot = sum(pours.map(({ amount }) => amount)) / between(random, 1, 3);
	let stood = opening;
	for (const { at, amount } of pours) {
		if (stood < amount + 0.5 * product.pack) {
			const came = product.pack * Math.ceil((Math.max(lot, amount) + product.pack) / product.pack);
			const day = Math.floor((at - START) / DAY) - 1;
			const document = random() < 0.7 ? `note ${product.id}-${bookings.length + 1}` : null;
			const when = { at: START + day * DAY, date: dateOf(day) };
			bookings.push({ ...when, kind: 'delivery', amount: came, packSize: product.pack, document });
			stood += came;
		}
		stood -= amount;
	}
	return bookings;
}

function applyPourFault(
	fault: Fault,
	random: Random,
	products: readonly TrueProduct[],
	loads: readonly TrueLoad[],
	truth: { productIds: string[]; note: string },
): void {
	if (fault === 'measuring') {
		const measuredOf = (id: string) =>
			sum(
				loads
					.flatMap(({ load }) => load.products)
					.filter((line) => line.productId === id)
					.map((line) => line.measured),
			);
		const product = pick(
			random,
			products.filter((entry) => measuredOf(entry.id) > 0),
		);
		const short = 0.04 + 0.16 * random();
		for (const { load, poured } of loads) {
			const line = load.products.find((entry) => entry.productId === product.id);
			if (line !== undefined) poured.set(product.id, (poured.get(product.id) ?? 0) - short * line.measured);
		}
		truth.productIds.push(product.id);
		truth.note = `${(100 * short).toFixed(0)} % short`;
	}
	if (fault === 'products mixed up') {
		const unitOf = new Map(products.map((product) => [product.id, product.unit]));
		const exchanges = loads.flatMap((entry) =>
			entry.load.products.flatMap((a) =>
				entry.load.products
					.filter((b) => a.productId < b.productId && unitOf.get(a.productId) === unitOf.get(b.productId))
					.map((b) => ({ entry, a: a.productId, b: b.productId })),
			),
		);
		if (exchanges.length === 0) return;
		const { entry, a, b } = pick(random, exchanges);
		const [ofA, ofB] = [entry.poured.get(a) ?? 0, entry.poured.get(b) ?? 0];
		entry.poured.set(a, ofB);
		entry.poured.set(b, ofA);
		truth.productIds.push(a, b);
	}
}

function applyStoreFault(
	fault: Fault,
	random: Random,
	products: readonly TrueProduct[],
	store: Map<string, ProductStore>,
	truth: { productIds: string[]; note: string },
): void {
	const product = pick(random, products);
	const entry = store.get(product.id);
	if (entry === undefined) return;
	if (fault === 'delivery not booked') {
		if (entry.bookings.length === 0) return;
		const forgotten = Math.floor(random() * entry.bookings.length);
		truth.note = `${(entry.bookings[forgotten]?.amount ?? 0) / product.pack} packs of ${product.pack}`;
		entry.bookings.splice(forgotten, 1);
		truth.productIds.push(product.id);
	}
	if (fault === 'wrong count') {
		const index = Math.floor(random() * entry.counts.length);
		const count = entry.counts[index] as ProductCount;
		const packs = pick(random, [1, 1, 1, 2, 2, 3]);
		const off = random() < 0.6 ? packs * product.pack : product.pack * (0.2 + 0.6 * random());
		const up = random() < 0.5 || count.amount < off;
		entry.counts[index] = { ...count, amount: count.amount + (up ? off : -off) };
		truth.productIds.push(product.id);
		truth.note = `${(off / product.pack).toFixed(2)} packs of ${product.pack} ${up ? 'too many' : 'too few'}`;
	}
}

function keptBooks(
	jobs: readonly TrueJob[],
	products: readonly TrueProduct[],
	store: Map<string, ProductStore>,
): SeasonBooks {
	const loads = jobs.flatMap((job) => job.loads.map(({ load }) => load));
	return {
		from: dateOf(0),
		to: dateOf(300),
		products: products.map((product): SeasonProduct => {
			const lines = loads.flatMap((load) => load.products).filter((line) => line.productId === product.id);
			return {
				productId: product.id,
				name: `Product ${product.id}`,
				unit: product.unit,
				packSizes: [product.pack],
				measureStep: MEASURE_STEP,
				ground: sum(lines.map((line) => line.planned)),
				counts: store.get(product.id)?.counts ?? [],
				bookings: store.get(product.id)?.bookings ?? [],
			};
		}),
		loads,
		jobs: jobs.map(({ job }) => job),
	};
}

/** One load was sprayed and never logged; if it was the only one of its job, the job is not in the books either. */
function withoutOneLoad(
	random: Random,
	books: SeasonBooks,
	truth: { productIds: string[]; note: string },
): SeasonBooks {
	const missing = pick(random, books.loads);
	truth.productIds.push(...missing.products.map((line) => line.productId));
	const alone = books.loads.filter((load) => load.jobId === missing.jobId).length === 1;
	const planned = !alone && random() < 0.5;
	truth.note = `${missing.loadId}${alone ? ', a whole job' : planned ? ', planned' : ''}`;
	const asPlanned = {
		...missing,
		logged: false,
		products: missing.products.map((line) => ({ ...line, poured: 0, measured: 0, wholePacks: 0, confirmed: false })),
	};
	return {
		...books,
		loads: books.loads.flatMap((load) => (load !== missing ? [load] : planned ? [asPlanned] : [])),
		jobs: books.jobs.flatMap((job) => {
			if (job.jobId !== missing.jobId) return [job];
			if (alone) return [];
			// The area loaded for may be the whole job's, or that of the loads in its log.
			const areaHa = random() < 0.5 ? 0 : missing.newMixL / job.sprayVolumeLPerHa;
			return [{ ...job, mixedL: job.mixedL - missing.newMixL, areaLoadedForHa: job.areaLoadedForHa - areaHa }];
		}),
	};
}

function dateOf(day: number): string {
	return new Date(START + day * DAY).toISOString().slice(0, 10);
}

function normal(random: Random, sigma: number): number {
	return sigma * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

function between(random: Random, low: number, high: number): number {
	return low + Math.floor(random() * (high - low + 1));
}

function pick<Item>(random: Random, items: readonly Item[]): Item {
	return items[Math.floor(random() * items.length)] as Item;
}

function shuffled<Item>(random: Random, items: readonly Item[]): Item[] {
	return items
		.map((item) => ({ item, key: random() }))
		.sort((a, b) => a.key - b.key)
		.map(({ item }) => item);
}

function round(value: number, digits: number): number {
	return Math.round(value * 10 ** digits) / 10 ** digits;
}

function sum(values: readonly number[]): number {
	return values.reduce((total, value) => total + value, 0);
}
