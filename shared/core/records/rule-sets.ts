/** What a spray record is asked to hold, by place. A rule set asks; it never says that a record is lawful. */

import { addDays } from '../../basics/calendar.ts';
import type { Limit } from '../limits/limit.ts';
import { isReducible, type openItems } from '../limits/margin-kept.ts';
import { hoursOf } from '../limits/time-limits.ts';

/** What a treatment was for: the three types of use of Implementing Regulation (EU) 2023/564, Annex. */
export const useTypes = ['treatment of surfaces', 'closed space', 'seed or plant reproductive material'] as const;
export type UseType = (typeof useTypes)[number];

export type RecordItem =
	| 'use type'
	| 'product name'
	| 'authorisation number'
	| 'date'
	| 'start time'
	| 'dose'
	| 'field'
	| 'treated area'
	| 'crop'
	| 'EPPO code'
	| 'growth stage'
	| 'reason'
	| 'operator'
	| 'certificate number'
	| 'wind'
	| 'temperature and humidity'
	| 'amount'
	| 'in flower'
	| 'neighbours and beekeepers told'
	| 'buffer assessment'
	| (typeof openItems)[number];

/** What of a use its authorisation confines. */
export type Confined = 'time of day' | 'growth stage' | 'use in flower' | 'distance to water';

export type RuleItem = {
	readonly item: RecordItem;
	readonly required: boolean;
	/** Asked for only where the authorisation confines this; then like a required one. */
	readonly when: Confined | null;
	readonly source: string;
	readonly fromMemory: boolean;
};

/** Within how many days of the use a record is to be in its final form. */
export type TimeToWrite = { readonly days: number; readonly source: string; readonly fromMemory: boolean };

export type RuleSet = {
	readonly id: string;
	readonly name: string;
	/** The day the rules were last looked at. */
	readonly asOf: string;
	/** A record is kept until 31 December of its year plus these years. */
	readonly keepYears: number;
	readonly writeWithin: TimeToWrite | null;
	readonly items: readonly RuleItem[];
};

function asks(item: RecordItem, source: string): RuleItem {
	return { item, required: true, when: null, source, fromMemory: false };
}

function asksWhere(item: RecordItem, when: Confined, source: string): RuleItem {
	return { item, required: false, when, source, fromMemory: false };
}

function advises(item: RecordItem, source: string, fromMemory = false): RuleItem {
	return { item, required: false, when: null, source, fromMemory };
}

const EU = 'Implementing Regulation (EU) 2023/564, Annex';
const EU_BASE = 'Regulation (EC) No 1107/2009, Art. 67';
const UK = 'Scottish Code of Practice for Using Plant Protection Products, Annex F';
const UK_WATER =
	'Defra PB5621: where the label lets an assessment reduce the distance, the decision is recorded either way, that day';
const US = '7 CFR 110.3(a)';

export const ruleSets: readonly RuleSet[] = [
	{
		id: 'eu-2023-564',
		name: 'EU 2023/564',
		asOf: '2026-11-25',
		keepYears: 3,
		writeWithin: {
			days: 30,
			source:
				'Implementing Regulation (EU) 2023/564, Art. 3: in electronic form; a Member State may set a shorter time',
			fromMemory: false,
		},
		items: [
			asks('use type', EU),
			asks('product name', EU),
			asks('authorisation number', EU),
			asks('date', EU),
			asksWhere('start time', 'time of day', `${EU}: where the authorisation limits the time of day`),
			asks('dose', EU),
			asks('field', EU),
			asks('treated area', EU),
			asks('crop', EU),
			asks('EPPO code', `${EU}, Art. 1(3)`),
			asksWhere('growth stage', 'growth stage', `${EU}: where the authorisation limits the stage`),
			advises('operator', 'national law, for example Germany'),
			advises('wind', 'common practice', true),
		],
	},
	{
		id: 'uk-code',
		name: 'UK code of practice',
		asOf: '2026-11-29',
		keepYears: 3,
		writeWithin: null,
		items: [
			asks('product name', UK),
			asks('authorisation number', UK),
			asks('date', UK),
			asks('start time', UK),
			asks('dose', UK),
			asks('amount', UK),
			asks('field', UK),
			asks('treated area', UK),
			asks('crop', UK),
			asks('reason', UK),
			asks('operator', UK),
			asks('wind', UK),
			asksWhere('in flower', 'use in flower', `${UK}: crop or weeds in flower`),
			asksWhere('buffer assessment', 'distance to water', UK_WATER),
			advises('pressure at the margins', 'the record of an assessment at water, from memory', true),
			advises('less drift within 30 m', 'labels that ask for more than 5 m to water, from memory', true),
			advises('neighbours and beekeepers told', UK),
			advises('growth stage', 'common practice', true),
			advises('temperature and humidity', 'common practice', true),
		],
	},
	{
		id: 'us-7cfr110',
		name: 'US 7 CFR 110, restricted-use products',
		asOf: '2026-11-25',
		keepYears: 2,
		writeWithin: { days: 14, source: '7 CFR 110.3, from memory', fromMemory: true },
		items: [
			asks('product name', `${US}(1)`),
			asks('authorisation number', `${US}(1)`),
			asks('amount', `${US}(2)`),
			asks('field', `${US}(3)`),
			asks('treated area', `${US}(3)`),
			asks('crop', `${US}(3)`),
			asks('date', `${US}(4)`),
			asks('operator', `${US}(5)`),
			asks('certificate number', `${US}(5)`),
			advises('start time', '40 CFR 170.311, from memory', true),
			advises('wind', 'some states, from memory', true),
		],
	},
	{
		id: 'base',
		name: 'EC 1107/2009 minimum',
		asOf: '2026-11-25',
		keepYears: 3,
		writeWithin: null,
		items: [
			asks('product name', EU_BASE),
			asks('date', EU_BASE),
			asks('dose', EU_BASE),
			asks('treated area', EU_BASE),
			asks('crop', EU_BASE),
		],
	},
];

const byId = new Map(ruleSets.map((set) => [set.id, set]));

export function ruleSetOf(id: string): RuleSet | null {
	return byId.get(id) ?? null;
}

/**
 * Under a roof there is no wind, and seed has no growth stage and no flowers: (EU) 2023/564, Annex, asks for BBCH of surfaces alone.
 * The Annex is known from national guidance; for closed spaces and seed from memory.
 */
const notAskedOf: Readonly<Partial<Record<UseType, readonly RecordItem[]>>> = {
	'closed space': ['growth stage', 'wind', 'temperature and humidity', 'in flower', 'buffer assessment'],
	'seed or plant reproductive material': [
		'growth stage',
		'wind',
		'temperature and humidity',
		'in flower',
		'buffer assessment',
	],
};

/** The figures of one record that a rule may ask for; null or empty is missing. */
export type RecordFacts = { readonly [Item in RecordItem]?: string | number | null };

/**
 * What a record still lacks by a rule set, in the set's order: the required items that are missing, and those that are
 * asked for because the authorisation confines the use (`confined`). An item from memory is never among them, nor one
 * that means nothing for the type of use.
 */
export function missingItems(
	facts: RecordFacts,
	ruleSetId: string,
	confined: readonly Confined[] = [],
	useType: UseType = 'treatment of surfaces',
): RecordItem[] {
	const missing: RecordItem[] = [];
	const notAsked = notAskedOf[useType] ?? [];
	for (const { item, required, when, fromMemory } of ruleSetOf(ruleSetId)?.items ?? []) {
		const asked = !fromMemory && (required || (when !== null && confined.includes(when)));
		if (asked && (facts[item] ?? '') === '' && !notAsked.includes(item)) missing.push(item);
	}
	return missing;
}

/** What of a use the limits of its product confine. */
export function confinedBy(limits: readonly Limit[]): Confined[] {
	const stage = limits.some(({ kind, min, max }) => kind === 'stage' && (min !== undefined || max !== undefined));
	const flowers = limits.filter(({ kind }) => kind === 'flowering');
	const time = limits.some(({ kind }) => kind === 'timeOfDay') || flowers.some((limit) => hoursOf(limit) !== null);
	return [
		...(time ? (['time of day'] as const) : []),
		...(stage ? (['growth stage'] as const) : []),
		...(flowers.length > 0 ? (['use in flower'] as const) : []),
		...(limits.some(isReducible) ? (['distance to water'] as const) : []),
	];
}

/**
 * The last day a record is to be kept: 31 December of the year of use and so many years. The safe reading of "three
 * years": Germany counts from 1 January after the use, Slovakia from the end of the year of use.
 */
export function keepUntil(date: string, rules: Pick<RuleSet, 'keepYears'>): string {
	return `${Number(date.slice(0, 4)) + rules.keepYears}-12-31`;
}

/** The last day for a record to be in its final form; null where the rules name none. */
export function writeBy(date: string, rules: Pick<RuleSet, 'writeWithin'>): string | null {
	return rules.writeWithin === null ? null : addDays(date, rules.writeWithin.days);
}

/** Whether a record first written on that day is later than the rules give; they may give a Member State's own time. */
export function isLate(
	{ date, createdOn }: { readonly date: string; readonly createdOn: string },
	rules: Pick<RuleSet, 'writeWithin'>,
): boolean {
	const until = writeBy(date, rules);
	return until !== null && createdOn > until;
}

const UK_ZONES = ['Europe/London', 'Europe/Belfast', 'Europe/Guernsey', 'Europe/Jersey', 'Europe/Isle_of_Man', 'GB'];
const US_ZONES =
	/^(?:US\/|America\/(?:New_York|Detroit|Kentucky\/|Indiana\/|Chicago|Menominee|North_Dakota\/|Denver|Boise|Phoenix|Los_Angeles|Anchorage|Juneau|Sitka|Nome|Adak|Metlakatla|Yakutat)|Pacific\/Honolulu)/;

/** The rule set a farm in this time zone most likely keeps its records by; another can be chosen. */
export function usualRuleSet(zone: string): string {
	if (UK_ZONES.includes(zone)) return 'uk-code';
	return US_ZONES.test(zone) ? 'us-7cfr110' : 'eu-2023-564';
}
