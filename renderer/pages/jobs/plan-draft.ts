import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { Indoors } from '../../../shared/contract/jobs-indoors.ts';
import type { Carrier, Seed } from '../../../shared/contract/jobs-kinds.ts';
import type { Dosed, Strategy } from '../../../shared/contract/jobs-plan.ts';
import type { Product } from '../../../shared/contract/products.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type ApplicationKind, machineFor, needsTank } from '../../../shared/core/loads/application-kind.ts';
import { spaceDoseUnitsOf } from '../../../shared/core/loads/closed-space.ts';
import { type DoseUnit, doseOf, doseUnitsOf, seedDoseWay } from '../../../shared/core/loads/dose-units.ts';
import { type SlurryUnit, slurryUnitsOf } from '../../../shared/core/loads/slurry.ts';
import { type IndoorsDraft, indoorsDraft, indoorsNeeded, indoorsOf, NO_SPACES } from './indoors-draft.ts';

/** `register`: the area to load for, as it stands in the register. Null: the figure was emptied and is asked for. */
export type FieldLine = { readonly fieldId: string; readonly areaHa: number | 'register' | null };
/** The dose as it is typed; the unit says whether by the hectare, by the acre, by the mix or as its share. */
export type ProductLine = { readonly productId: string; readonly dose: number | null; readonly unit: DoseUnit };

export type CarrierDraft = {
	readonly from: 'store' | 'bulk';
	readonly productId: string | null;
	readonly name: string;
	readonly densityKgPerL: number | null;
	readonly lPerHa: number | null;
};
export type SeedDraft = {
	readonly amount: number | null;
	readonly unit: 'kg' | 'unit';
	readonly crop: string;
	readonly eppoCode: string;
	readonly lot: string;
	/** Products and water together; null: no water goes on. */
	readonly slurry: number | null;
	readonly slurryUnit: SlurryUnit;
};

/** A job while it is being planned. What is null or empty is left to the sprayer, the settings or the program. */
export type PlanDraft = {
	/** The adviser's recommendation it starts from. */
	readonly recommendationId: string | null;
	readonly kind: ApplicationKind;
	/** What fills the tank, where that is liquid fertiliser. */
	readonly carrier: CarrierDraft;
	/** What is treated, where it is seed. */
	readonly seed: SeedDraft;
	/** What is treated, where it is closed spaces. */
	readonly indoors: IndoorsDraft;
	readonly name: string;
	readonly sprayerId: string | null;
	readonly sprayVolumeLPerHa: number | null;
	readonly fields: readonly FieldLine[];
	readonly products: readonly ProductLine[];
	readonly strategy: Strategy | null;
	readonly date: string | null;
	/** Null: the first store. */
	readonly storeId: string | null;
	readonly customer: string;
	readonly reason: string;
	readonly operator: string;
	readonly growthStage: string;
	readonly nozzle: string;
	readonly pressureBar: number | null;
	readonly speedKmh: number | null;
	readonly boomHeightM: number | null;
	readonly bufferM: number | null;
	readonly leftInTankL: number | null;
	readonly leftInHopperKg: number | null;
	readonly overrideWhy: string;
};

/** A fresh plan: for today, with the sprayer that is usually taken. */
export function newPlan(from: {
	readonly sprayers: readonly Sprayer[];
	readonly lastSprayer: string | undefined;
	readonly operator: string;
	readonly date: string;
}): PlanDraft {
	const sprayers = from.sprayers.filter(({ kind }) => kind === 'sprayer');
	const usual = sprayers.find(({ name }) => name === from.lastSprayer);
	const only = sprayers.length === 1 ? sprayers[0] : undefined;
	return {
		recommendationId: null,
		kind: 'spray in water',
		carrier: { from: 'store', productId: null, name: '', densityKgPerL: null, lPerHa: null },
		seed: { amount: null, crop: '', eppoCode: '', lot: '', ...countedIn('kg') },
		indoors: NO_SPACES,
		name: '',
		sprayerId: (only ?? usual)?.id ?? null,
		sprayVolumeLPerHa: null,
		fields: [],
		products: [],
		strategy: null,
		date: from.date,
		storeId: null,
		customer: '',
		reason: '',
		operator: from.operator,
		growthStage: '',
		nozzle: '',
		pressureBar: null,
		speedKmh: null,
		boomHeightM: null,
		bufferM: null,
		leftInTankL: null,
		leftInHopperKg: null,
		overrideWhy: '',
	};
}

/** How seed is counted, and with it the units of its slurry volume. */
export function countedIn(
	unit: SeedDraft['unit'],
	slurry?: Seed['slurry'] | null,
): Pick<SeedDraft, 'unit' | 'slurry' | 'slurryUnit'> {
	return { unit, slurry: slurry?.value ?? null, slurryUnit: slurry?.unit ?? slurryUnitsOf(unit)[0] };
}

/** A saved job as it may be changed. An area that is the register's own follows the register. */
export function draftOf(job: Job, rows: readonly FieldRow[]): PlanDraft {
	const registerHa = new Map(rows.map(({ id, loadForHa }) => [id, loadForHa]));
	return {
		kind: job.kind,
		carrier: carrierOfJob(job),
		seed: {
			amount: job.seed?.amount ?? null,
			crop: job.seed?.crop ?? '',
			eppoCode: job.seed?.eppoCode ?? '',
			lot: job.seed?.lot ?? '',
			...countedIn(job.seed?.unit ?? 'kg', job.seed?.slurry),
		},
		indoors: indoorsDraft(job.indoors),
		name: job.name,
		sprayerId: job.sprayerId,
		sprayVolumeLPerHa: job.sprayVolumeLPerHa || null,
		fields: job.fields.map(({ fieldId, areaHa }) => ({
			fieldId,
			areaHa: Math.abs((registerHa.get(fieldId) ?? 0) - areaHa) < SAME_AREA_HA ? 'register' : areaHa,
		})),
		products: job.products
			.filter(({ productId }) => productId !== job.plan.carrier?.productId)
			.map(({ productId, dose }) => ({ productId, dose: dose.value, unit: dose.unit })),
		strategy: job.plan.strategy,
		date: job.date,
		storeId: job.storeId,
		customer: job.customer ?? '',
		reason: job.reason ?? '',
		operator: job.operator ?? '',
		growthStage: job.growthStage ?? '',
		nozzle: job.nozzle ?? '',
		pressureBar: job.pressureBar,
		speedKmh: job.speedKmh,
		boomHeightM: job.boomHeightM,
		bufferM: job.bufferM,
		leftInTankL: job.plan.loads[0]?.carriedInL || null,
		leftInHopperKg: job.plan.loads[0]?.inHopperKg ?? null,
		recommendationId: null,
		overrideWhy: job.overrideWhy ?? '',
	};
}

/** The fertiliser of a job; where it filled all the room there was, its litres are left to the plan. */
function carrierOfJob({ plan: { carrier, totals } }: Job): CarrierDraft {
	const from = carrier && carrier.productId === null ? 'bulk' : 'store';
	return {
		from,
		productId: carrier?.productId ?? null,
		name: from === 'bulk' ? (carrier?.name ?? '') : '',
		densityKgPerL: carrier?.densityKgPerL ?? null,
		lPerHa: carrier && totals.waterL > 0.5 ? carrier.lPerHa : null,
	};
}

/** A fertiliser as it was asked for, as it is typed. */
export function carrierDraft({ productId, name, densityKgPerL, lPerHa }: Carrier): CarrierDraft {
	return {
		from: productId === undefined ? 'bulk' : 'store',
		productId: productId ?? null,
		name: name ?? '',
		densityKgPerL: densityKgPerL ?? null,
		lPerHa: lPerHa ?? null,
	};
}

/** A tenth of a square metre: the same area. */
const SAME_AREA_HA = 1e-5;

/** The area a field is planned with, unrounded: what is typed, else the register's. */
export function plannedArea(line: FieldLine, row: Pick<FieldRow, 'loadForHa'> | undefined): number | null {
	return line.areaHa === 'register' ? (row?.loadForHa ?? null) : line.areaHa;
}

/** The same as it is shown and typed: the register's to the are. */
export function shownArea(line: FieldLine, row: Pick<FieldRow, 'loadForHa'> | undefined): number | null {
	const areaHa = plannedArea(line, row);
	return areaHa === null || line.areaHa !== 'register' ? areaHa : Math.round(areaHa * 100) / 100;
}

/** What is still to be entered before loads can be planned, in the order of the page. */
export function stillNeeded(draft: PlanDraft, rows: readonly FieldRow[]): string[] {
	const nameOf = new Map(rows.map((row) => [row.id, row]));
	const lines = draft.kind === 'closed space' ? [] : draft.fields;
	const bare = lines.filter((line) => shownArea(line, nameOf.get(line.fieldId)) === null);
	return [
		...(draft.fields.length === 0 && draft.kind !== 'seed treatment' && draft.kind !== 'closed space'
			? [draft.kind === 'granules' ? 'the fields to spread on' : 'the fields to spray']
			: []),
		...(draft.kind === 'closed space' ? indoorsNeeded(draft.indoors) : []),
		...bare.map(({ fieldId }) => `an area for ${nameOf.get(fieldId)?.name ?? 'a field'}`),
		...(draft.products.length === 0 ? ['the products'] : []),
		...(draft.products.some(({ dose }) => !dose) ? ['a dose for each product'] : []),
		...(isSprayed(draft.kind) && !draft.sprayVolumeLPerHa ? ['the spray volume'] : []),
		...(draft.kind === 'spray in liquid fertiliser' && !carrierOf(draft.carrier) ? ['the fertiliser'] : []),
		...(draft.kind === 'seed treatment' ? seedNeeded(draft.seed) : []),
		...(draft.sprayerId === null ? [`the ${machineFor(draft.kind)}`] : []),
		...(draft.date === null ? ['the date'] : []),
	];
}

function seedNeeded({ amount, crop }: SeedDraft): string[] {
	return [...(amount ? [] : ['how much seed']), ...(crop.trim() === '' ? ['the crop of the seed'] : [])];
}

/** The units a dose is given in for what is treated, the usual one first. */
export function doseUnitsFor({ kind, seed, indoors }: Pick<PlanDraft, 'kind' | 'seed' | 'indoors'>, unit: 'L' | 'kg') {
	if (kind === 'closed space') return spaceDoseUnitsOf(unit, indoors.unit);
	return doseUnitsOf(unit, kind === 'seed treatment' ? seedDoseWay(seed.unit) : undefined);
}

/** The products again without doses, where they are now given in other units. */
export function withoutDoses<Draft extends Pick<PlanDraft, 'kind' | 'seed' | 'indoors' | 'products'>>(
	draft: Draft,
	products: readonly Product[],
): Draft {
	const unitOf = (productId: string) => products.find(({ id }) => id === productId)?.unit ?? 'L';
	const lines = draft.products.map(({ productId }) => {
		const [unit = 'L/ha'] = doseUnitsFor(draft, unitOf(productId));
		return { productId, dose: null, unit };
	});
	return { ...draft, products: lines };
}

/** Is a mix sprayed, whose volume has to be said? */
export function isSprayed(kind: ApplicationKind): boolean {
	return kind === 'spray in water' || kind === 'spray in liquid fertiliser';
}

/** The fertiliser as the program is asked for it; null while it is not said. */
export function carrierOf({ from, productId, name, densityKgPerL, lPerHa }: CarrierDraft): Carrier | null {
	const figures = {
		...(densityKgPerL === null ? {} : { densityKgPerL }),
		...(lPerHa === null ? {} : { lPerHa }),
	};
	if (from === 'store' && productId !== null) return { productId, ...figures };
	return name.trim() !== '' && densityKgPerL !== null ? { name: name.trim(), ...figures } : null;
}

function seedOf({ amount, unit, crop, eppoCode, lot, slurry, slurryUnit }: SeedDraft): Seed {
	return {
		amount: amount ?? 0,
		unit,
		crop: crop.trim(),
		...(eppoCode.trim() === '' ? {} : { eppoCode: eppoCode.trim() }),
		...(lot.trim() === '' ? {} : { lot: lot.trim() }),
		...(slurry === null ? {} : { slurry: { value: slurry, unit: slurryUnit } }),
	};
}

export type PlanRequest = {
	kind?: ApplicationKind;
	sprayerId: string;
	sprayVolumeLPerHa?: number;
	carrier?: Carrier;
	seed?: Seed;
	indoors?: Indoors;
	fields: { fieldId: string; areaHa?: number }[];
	products: Dosed[];
} & {
	[Key in 'name' | 'date' | 'customer' | 'reason' | 'operator' | 'growthStage' | 'nozzle']?: string;
} & {
	[Key in 'pressureBar' | 'speedKmh' | 'boomHeightM' | 'bufferM' | 'leftInTankL' | 'leftInHopperKg']?: number;
} & { strategy?: Strategy; recommendationId?: string; storeId?: string };

/** The draft as the program is asked for it; null while something is still needed. */
export function requestOf(draft: PlanDraft, rows: readonly FieldRow[]): PlanRequest | null {
	const { kind, sprayerId, sprayVolumeLPerHa } = draft;
	if (sprayerId === null || stillNeeded(draft, rows).length > 0) return null;
	const carrier = kind === 'spray in liquid fertiliser' ? carrierOf(draft.carrier) : null;
	const texts = ['name', 'customer', 'reason', 'operator', 'growthStage', 'nozzle'] as const;
	const figures = ['pressureBar', 'speedKmh', 'boomHeightM', 'bufferM', ...leftIn(kind)] as const;
	return {
		...(kind === 'spray in water' ? {} : { kind }),
		sprayerId,
		...(isSprayed(kind) && sprayVolumeLPerHa !== null ? { sprayVolumeLPerHa } : {}),
		...(carrier ? { carrier } : {}),
		...(kind === 'seed treatment' ? { seed: seedOf(draft.seed) } : {}),
		...(kind === 'closed space' ? { indoors: indoorsOf(draft.indoors) } : {}),
		fields:
			kind === 'closed space'
				? []
				: draft.fields.map(({ fieldId, areaHa }) => (typeof areaHa === 'number' ? { fieldId, areaHa } : { fieldId })),
		products: draft.products.flatMap(dosed),
		...(draft.strategy === null ? {} : { strategy: draft.strategy }),
		...(draft.recommendationId === null ? {} : { recommendationId: draft.recommendationId }),
		...(draft.storeId === null ? {} : { storeId: draft.storeId }),
		...(draft.date === null ? {} : { date: draft.date }),
		...Object.fromEntries(texts.map((key) => [key, draft[key].trim()]).filter(([, text]) => text !== '')),
		...Object.fromEntries(figures.map((key) => [key, draft[key]]).filter(([, value]) => value !== null)),
	};
}

/** Where something may be left from before: a tank or a hopper. */
function leftIn(kind: ApplicationKind): ('leftInTankL' | 'leftInHopperKg')[] {
	if (kind === 'seed treatment' || kind === 'closed space') return [];
	return [needsTank(kind) ? 'leftInTankL' : 'leftInHopperKg'];
}

/** A line of the plan as the program is asked for it; nothing while it has no dose. */
export function dosed({ productId, dose, unit }: ProductLine): Dosed[] {
	if (!dose) return [];
	const { way, figure } = doseOf({ value: dose, unit });
	return [{ productId, [way]: figure, doseUnit: unit }];
}

/** A list with one entry moved up or down; at the ends it stays. */
export function moved<Item>(list: readonly Item[], from: number, by: -1 | 1): readonly Item[] {
	const item = list[from];
	const other = list[from + by];
	if (item === undefined || other === undefined) return list;
	return list.map((each, index) => (index === from ? other : index === from + by ? item : each));
}
