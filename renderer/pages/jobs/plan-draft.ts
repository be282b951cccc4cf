import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { Dosed, Strategy } from '../../../shared/contract/jobs-plan.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type DoseUnit, doseOf } from '../../../shared/core/loads/dose-units.ts';

/** `register`: the area to load for, as it stands in the register. Null: the figure was emptied and is asked for. */
export type FieldLine = { readonly fieldId: string; readonly areaHa: number | 'register' | null };
/** The dose as it is typed; the unit says whether by the hectare, by the acre, by the mix or as its share. */
export type ProductLine = { readonly productId: string; readonly dose: number | null; readonly unit: DoseUnit };

/** A job while it is being planned. What is null or empty is left to the sprayer, the settings or the program. */
export type PlanDraft = {
	/** The adviser's recommendation it starts from. */
	readonly recommendationId: string | null;
	readonly name: string;
	readonly sprayerId: string | null;
	readonly sprayVolumeLPerHa: number | null;
	readonly fields: readonly FieldLine[];
	readonly products: readonly ProductLine[];
	readonly strategy: Strategy | null;
	readonly date: string | null;
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
	readonly overrideWhy: string;
};

/** A fresh plan: for today, with the sprayer that is usually taken. */
export function newPlan(from: {
	readonly sprayers: readonly Sprayer[];
	readonly lastSprayer: string | undefined;
	readonly operator: string;
	readonly date: string;
}): PlanDraft {
	const usual = from.sprayers.find(({ name }) => name === from.lastSprayer);
	const only = from.sprayers.length === 1 ? from.sprayers[0] : undefined;
	return {
		recommendationId: null,
		name: '',
		sprayerId: (only ?? usual)?.id ?? null,
		sprayVolumeLPerHa: null,
		fields: [],
		products: [],
		strategy: null,
		date: from.date,
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
		overrideWhy: '',
	};
}

/** A saved job as it may be changed. An area that is the register's own follows the register. */
export function draftOf(job: Job, rows: readonly FieldRow[]): PlanDraft {
	const registerHa = new Map(rows.map(({ id, loadForHa }) => [id, loadForHa]));
	return {
		name: job.name,
		sprayerId: job.sprayerId,
		sprayVolumeLPerHa: job.sprayVolumeLPerHa,
		fields: job.fields.map(({ fieldId, areaHa }) => ({
			fieldId,
			areaHa: Math.abs((registerHa.get(fieldId) ?? 0) - areaHa) < SAME_AREA_HA ? 'register' : areaHa,
		})),
		products: job.products.map(({ productId, dose }) => ({ productId, dose: dose.value, unit: dose.unit })),
		strategy: job.plan.strategy,
		date: job.date,
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
		recommendationId: null,
		overrideWhy: job.overrideWhy ?? '',
	};
}

/** A tenth of a square metre: the same area. */
const SAME_AREA_HA = 1e-5;

/** The register's area to load for, as it is shown and typed: to the are. */
export function shownArea(line: FieldLine, row: Pick<FieldRow, 'loadForHa'> | undefined): number | null {
	if (line.areaHa !== 'register') return line.areaHa;
	return row?.loadForHa === null || row === undefined ? null : Math.round(row.loadForHa * 100) / 100;
}

/** What is still to be entered before loads can be planned, in the order of the page. */
export function stillNeeded(draft: PlanDraft, rows: readonly FieldRow[]): string[] {
	const nameOf = new Map(rows.map((row) => [row.id, row]));
	const bare = draft.fields.filter((line) => shownArea(line, nameOf.get(line.fieldId)) === null);
	return [
		...(draft.fields.length === 0 ? ['the fields to spray'] : []),
		...bare.map(({ fieldId }) => `an area for ${nameOf.get(fieldId)?.name ?? 'a field'}`),
		...(draft.products.length === 0 ? ['the products'] : []),
		...(draft.products.some(({ dose }) => !dose) ? ['a dose for each product'] : []),
		...(draft.sprayerId === null ? ['the sprayer'] : []),
		...(draft.sprayVolumeLPerHa ? [] : ['the spray volume']),
		...(draft.date === null ? ['the spray date'] : []),
	];
}

export type PlanRequest = {
	sprayerId: string;
	sprayVolumeLPerHa: number;
	fields: { fieldId: string; areaHa?: number }[];
	products: Dosed[];
} & {
	[Key in 'name' | 'date' | 'customer' | 'reason' | 'operator' | 'growthStage' | 'nozzle']?: string;
} & {
	[Key in 'pressureBar' | 'speedKmh' | 'boomHeightM' | 'bufferM' | 'leftInTankL']?: number;
} & { strategy?: Strategy; recommendationId?: string };

/** The draft as the program is asked for it; null while something is still needed. */
export function requestOf(draft: PlanDraft, rows: readonly FieldRow[]): PlanRequest | null {
	const { sprayerId, sprayVolumeLPerHa } = draft;
	if (sprayerId === null || sprayVolumeLPerHa === null || stillNeeded(draft, rows).length > 0) return null;
	const texts = ['name', 'customer', 'reason', 'operator', 'growthStage', 'nozzle'] as const;
	const figures = ['pressureBar', 'speedKmh', 'boomHeightM', 'bufferM', 'leftInTankL'] as const;
	return {
		sprayerId,
		sprayVolumeLPerHa,
		fields: draft.fields.map(({ fieldId, areaHa }) => (typeof areaHa === 'number' ? { fieldId, areaHa } : { fieldId })),
		products: draft.products.flatMap(dosed),
		...(draft.strategy === null ? {} : { strategy: draft.strategy }),
		...(draft.recommendationId === null ? {} : { recommendationId: draft.recommendationId }),
		...(draft.date === null ? {} : { date: draft.date }),
		...Object.fromEntries(texts.map((key) => [key, draft[key].trim()]).filter(([, text]) => text !== '')),
		...Object.fromEntries(figures.map((key) => [key, draft[key]]).filter(([, value]) => value !== null)),
	};
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
