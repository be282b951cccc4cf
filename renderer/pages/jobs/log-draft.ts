import type { z } from 'zod';
import type { MarginOnField } from '../../../shared/contract/jobs-margins.ts';
import type { PlannedProduct } from '../../../shared/contract/jobs-plan.ts';
import type { RinseWay } from '../../../shared/contract/waste.ts';
import type { Weather } from '../../../shared/contract/weather.ts';
import { type MarginRow, marginsSaid } from '../../parts/margin-rows.ts';
import { spanOf } from './local-time.ts';

type WeatherSeen = z.infer<typeof Weather>;

/** Weather as it is entered: for the load, or for one field of it. */
export type WeatherEntry = {
	readonly temperatureC: number | null;
	readonly humidityPercent: number | null;
	readonly windSpeedKmh: number | null;
	readonly windDirection: string | null;
};

export const NOT_SEEN: WeatherEntry = {
	temperatureC: null,
	humidityPercent: null,
	windSpeedKmh: null,
	windDirection: null,
};

/** `plan`: the ground of the load as planned. Null: the figure was emptied and is asked for. */
export type CoveredLine = {
	readonly fieldId: string;
	readonly areaHa: number | 'plan' | null;
	readonly began: string;
	readonly ended: string;
	/** Where it was another there; what is empty is as for the load. */
	readonly weather: WeatherEntry;
};

/** A closed space of the treatment. `plan`: as much of it as planned. Null: the figure was emptied and is asked for. */
export type SpaceDone = {
	readonly spaceId: string;
	readonly amount: number | 'plan' | null;
	readonly began: string;
	readonly ended: string;
};

/** The log of a load while it is being entered. */
export type LogDraft = {
	readonly date: string;
	readonly began: string;
	readonly ended: string;
	readonly operator: string;
	readonly amounts: 'as planned' | 'entered';
	readonly poured: Readonly<Record<string, number | null>>;
	/** The batches it was poured from, as they are typed. */
	readonly batches: Readonly<Record<string, string>>;
	readonly meteredL: number | null;
	/** Seed that was treated; null: as planned. */
	readonly quantity: number | null;
	readonly spaces: readonly SpaceDone[];
	readonly covered: readonly CoveredLine[];
	/** Each field with a start, an end and a weather of its own; each closed space with a start and an end. */
	readonly ownTimes: boolean;
	readonly stopped: boolean;
	readonly why: string;
	readonly mixLeftL: number | null;
	readonly mix: 'kept' | 'disposed';
	readonly windHeightM: number | null;
	/** How the containers that ran empty were rinsed; null: nobody said. */
	readonly rinsed: RinseWay | null;
	readonly flowering: string;
	readonly told: string;
	/** Margins that were assessed, and those that are only proposed. */
	readonly margins: readonly MarginRow[];
	readonly note: string;
} & WeatherEntry;

export type PlannedPart = { readonly fieldId: string; readonly areaHa: number };
export type PlannedSpacePart = { readonly spaceId: string; readonly amount: number };

/** What of a closed space is logged as treated. */
export function treatedIn({ spaceId, amount }: SpaceDone, planned: readonly PlannedSpacePart[]): number {
	if (amount !== 'plan') return amount ?? 0;
	return planned.find((part) => part.spaceId === spaceId)?.amount ?? 0;
}

/** Hectares as they are shown and typed: to the are. */
export function toAre(areaHa: number): number {
	return Math.round(areaHa * 100) / 100;
}

/** The area of a line as it stands in its entry field. */
export function shownCovered(line: CoveredLine, planned: readonly PlannedPart[]): number | null {
	if (line.areaHa !== 'plan') return line.areaHa;
	return toAre(plannedArea(line.fieldId, planned));
}

export function plannedArea(fieldId: string, planned: readonly PlannedPart[]): number {
	return planned.find((part) => part.fieldId === fieldId)?.areaHa ?? 0;
}

/** The area of a line as it is logged: the plan's own figure, unrounded, where it stands. */
export function coveredHa(line: CoveredLine, planned: readonly PlannedPart[]): number {
	return line.areaHa === 'plan' ? plannedArea(line.fieldId, planned) : (line.areaHa ?? 0);
}

/** Below this a sum of typed areas and the plan are the same. */
export const SAME_HA = 0.005;

/** True when the ground entered is all that was planned. */
export function isAllCovered(lines: readonly CoveredLine[], planned: readonly PlannedPart[]): boolean {
	const plannedHa = planned.reduce((sum, { areaHa }) => sum + areaHa, 0);
	return lines.reduce((sum, line) => sum + coveredHa(line, planned), 0) > plannedHa - SAME_HA;
}

export type LogRequest = {
	jobId: string;
	load: number;
	startedAt: string;
	finishedAt: string;
	operator: string;
	actual?: {
		products?: { productId: string; amount: number; batches?: string[] }[];
		meteredL?: number;
		seed?: number;
		spaces?: { spaceId: string; amount: number; startedAt?: string; finishedAt?: string }[];
		fields?: { fieldId: string; areaHa: number; startedAt?: string; finishedAt?: string; weather?: WeatherSeen }[];
	};
	stopped?: { why: string; mixLeftL?: number; mix: 'kept' | 'disposed' };
	weather?: WeatherSeen;
	flowering?: string;
	told?: string;
	margins?: MarginOnField[];
	rinsed?: RinseWay;
	note?: string;
	allowShort: boolean;
};

/** What is sent: only what differs from the plan or was read off; all else the program knows. */
export function logRequest(
	draft: LogDraft,
	{
		ground: planned,
		spaces,
	}: { readonly ground: readonly PlannedPart[]; readonly spaces: readonly PlannedSpacePart[] },
	of: { readonly jobId: string; readonly load: number; readonly allowShort: boolean },
): LogRequest {
	const { startedAt, finishedAt } = spanOf(draft.date, draft.began, draft.ended);
	const groundSaid =
		planned.length > 0 && (draft.stopped || draft.ownTimes || draft.covered.some(({ areaHa }) => areaHa !== 'plan'));
	const spacesSaid =
		spaces.length > 0 && (draft.stopped || draft.ownTimes || draft.spaces.some(({ amount }) => amount !== 'plan'));
	const actual = {
		...(draft.amounts === 'entered' ? { products: pouredLines(draft) } : {}),
		...(draft.meteredL === null ? {} : { meteredL: draft.meteredL }),
		...(draft.quantity === null ? {} : { seed: draft.quantity }),
		...(spacesSaid ? { spaces: draft.spaces.map((line) => spaceLine(draft, line, spaces)) } : {}),
		...(groundSaid ? { fields: draft.covered.map((line) => coveredLine(draft, line, planned)) } : {}),
	};
	const weather = weatherOf(draft);
	const margins = marginsSaid(draft.margins);
	const [flowering, told, note] = [draft.flowering.trim(), draft.told.trim(), draft.note.trim()];
	return {
		...of,
		startedAt,
		finishedAt,
		operator: draft.operator.trim(),
		...(Object.keys(actual).length > 0 ? { actual } : {}),
		...(draft.stopped
			? {
					stopped: {
						why: draft.why.trim(),
						mix: draft.mix,
						...(draft.mixLeftL === null ? {} : { mixLeftL: draft.mixLeftL }),
					},
				}
			: {}),
		...(Object.keys(weather).length > 0 ? { weather } : {}),
		...(flowering === '' ? {} : { flowering }),
		...(told === '' ? {} : { told }),
		...(margins.length === 0 ? {} : { margins }),
		...(draft.rinsed ? { rinsed: draft.rinsed } : {}),
		...(note === '' ? {} : { note }),
	};
}

/** What was entered of each product, with the batches that were named. */
export function pouredLines({
	poured,
	batches,
}: Pick<LogDraft, 'poured' | 'batches'>): { productId: string; amount: number; batches?: string[] }[] {
	return Object.entries(poured).flatMap(([productId, amount]) => {
		const named = batchesOf(batches[productId]);
		return amount === null ? [] : [{ productId, amount, ...(named.length > 0 ? { batches: named } : {}) }];
	});
}

/** The batches a plan named for a product, in their order. */
export function batchesNamed({ takes = [] }: Pick<PlannedProduct, 'takes'>): string[] {
	return [...new Set(takes.flatMap(({ batch }) => batch ?? []))];
}

/** `A-17, B-04`: the batches in the order they were emptied. */
export function batchesOf(text: string | undefined): string[] {
	return (text ?? '')
		.split(/[,;+]/)
		.map((batch) => batch.trim())
		.filter((batch) => batch !== '');
}

function coveredLine(draft: LogDraft, line: CoveredLine, planned: readonly PlannedPart[]) {
	const bare = { fieldId: line.fieldId, areaHa: coveredHa(line, planned) };
	if (!draft.ownTimes) return bare;
	const own = weatherOn(draft, line);
	const there = own === null ? bare : { ...bare, weather: own };
	if (line.began === '' || line.ended === '') return there;
	const { startedAt, finishedAt } = spanOf(draft.date, line.began, line.ended);
	return { ...there, startedAt, finishedAt };
}

function spaceLine(draft: LogDraft, line: SpaceDone, planned: readonly PlannedSpacePart[]) {
	const bare = { spaceId: line.spaceId, amount: treatedIn(line, planned) };
	if (!draft.ownTimes || line.began === '' || line.ended === '') return bare;
	const { startedAt, finishedAt } = spanOf(draft.date, line.began, line.ended);
	return { ...bare, startedAt, finishedAt };
}

/** The weather on one field where something of its own was entered: over it, what was seen for the load. */
export function weatherOn(draft: LogDraft, { weather }: CoveredLine): WeatherSeen | null {
	const entered = Object.entries(weather).filter(([, value]) => value !== null);
	return entered.length === 0 ? null : weatherOf({ ...draft, ...Object.fromEntries(entered) });
}

/** What was seen of the weather. A wind without its height is given without one; a height alone says nothing. */
export function weatherOf(draft: WeatherEntry & Pick<LogDraft, 'windHeightM'>): WeatherSeen {
	const { temperatureC, humidityPercent, windSpeedKmh, windDirection, windHeightM } = draft;
	return {
		...(temperatureC === null ? {} : { temperatureC }),
		...(humidityPercent === null ? {} : { humidityPercent }),
		...(windSpeedKmh === null ? {} : { windSpeedKmh }),
		...(windDirection === null ? {} : { windDirection }),
		...(windHeightM === null || windSpeedKmh === null ? {} : { windHeightM }),
	};
}

/** Ground read off the counter in one figure, laid onto the fields in their order; beyond the plan it is the last one's. */
export function coverInOrder(
	lines: readonly CoveredLine[],
	planned: readonly PlannedPart[],
	totalHa: number,
): CoveredLine[] {
	let leftHa = totalHa;
	return lines.map((line, index) => {
		const plannedHa = plannedArea(line.fieldId, planned);
		const areaHa = index === lines.length - 1 ? leftHa : Math.min(leftHa, plannedHa);
		leftHa -= areaHa;
		return { ...line, areaHa: areaHa === plannedHa ? 'plan' : toAre(areaHa) };
	});
}
