/** What a spray record is asked to hold, by place. A rule set asks; it never says that a record is lawful. */

export type RecordItem =
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
	| 'amount';

export type RuleItem = {
	readonly item: RecordItem;
	readonly required: boolean;
	readonly source: string;
	readonly fromMemory: boolean;
};

export type RuleSet = {
	readonly id: string;
	readonly name: string;
	/** The day the rules were last looked at. */
	readonly asOf: string;
	/** A record is kept until 31 December of its year plus these years. */
	readonly keepYears: number;
	readonly items: readonly RuleItem[];
};

function asks(item: RecordItem, source: string): RuleItem {
	return { item, required: true, source, fromMemory: false };
}

function advises(item: RecordItem, source: string, fromMemory = false): RuleItem {
	return { item, required: false, source, fromMemory };
}

const EU = 'Implementing Regulation (EU) 2023/564, Annex';
const EU_BASE = 'Regulation (EC) No 1107/2009, Art. 67';
const UK = 'Scottish Code of Practice for Using Plant Protection Products, Annex F';
const US = '7 CFR 110.3(a)';

export const ruleSets: readonly RuleSet[] = [
	{
		id: 'eu-2023-564',
		name: 'EU 2023/564, treatment of surfaces',
		asOf: '2026-11-25',
		keepYears: 3,
		items: [
			asks('product name', EU),
			asks('authorisation number', EU),
			asks('date', EU),
			advises('start time', `${EU}: where the authorisation limits the time of day`),
			asks('dose', EU),
			asks('field', EU),
			asks('treated area', EU),
			asks('crop', EU),
			asks('EPPO code', `${EU}, Art. 1(3)`),
			advises('growth stage', `${EU}: where the authorisation limits the stage`),
			advises('operator', 'national law, for example Germany'),
			advises('wind', 'common practice', true),
		],
	},
	{
		id: 'uk-code',
		name: 'UK code of practice',
		asOf: '2026-11-25',
		keepYears: 3,
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
			advises('growth stage', 'common practice', true),
			advises('temperature and humidity', 'common practice', true),
		],
	},
	{
		id: 'us-7cfr110',
		name: 'US 7 CFR 110, restricted-use products',
		asOf: '2026-11-25',
		keepYears: 2,
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
		items: [
			asks('product name', EU_BASE),
			asks('date', EU_BASE),
			asks('dose', EU_BASE),
			asks('treated area', EU_BASE),
			asks('crop', EU_BASE),
		],
	},
];

/** The figures of one record that a rule may ask for; null or empty is missing. */
export type RecordFacts = { readonly [Item in RecordItem]?: string | number | null };

/** What a record still lacks by a rule set: the required items that are missing, in the set's order. */
export function missingItems(facts: RecordFacts, ruleSetId: string): RecordItem[] {
	const rules = ruleSets.find((set) => set.id === ruleSetId);
	if (!rules) return [];
	return rules.items
		.filter(
			({ item, required }) => required && (facts[item] === null || facts[item] === undefined || facts[item] === ''),
		)
		.map(({ item }) => item);
}
