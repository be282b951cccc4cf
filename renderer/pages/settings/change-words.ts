import { shortDate, timeOfDay } from '../../format.ts';

/** One line of the audit trail, as it comes. */
export type Change = {
	readonly seq: number;
	readonly at: string;
	readonly procedure: string;
	readonly who: string;
	readonly input: string;
	readonly changes: string;
};

/** What each change of the books is called; one that a newer program wrote keeps its own name. */
export const words: Readonly<Record<string, string>> = {
	'settings.save': 'Settings changed',
	'settings.addOperator': 'Operator put on the list',
	'settings.updateOperator': 'Operator changed',
	'settings.removeOperator': 'Operator taken off the list',
	'products.add': 'Product put on the books',
	'products.update': 'Product changed',
	'products.importList': 'Product list brought in',
	'documents.add': 'Document kept',
	'documents.putAside': 'Document put aside',
	'fields.import': 'Boundaries brought in',
	'fields.add': 'Field added',
	'fields.update': 'Field changed',
	'fields.setBoundary': 'Boundary put in force',
	'fields.split': 'Field split',
	'fields.merge': 'Fields merged',
	'fields.rollSeason': 'Crops of the next season entered',
	'fields.setOverlap': 'Overlap in a reported area told',
	'fields.chooseArea': 'Area to load for chosen',
	'fields.addMeasurement': 'Measured figure added',
	'fields.addStrip': 'Strip or obstacle added',
	'fields.removeStrip': 'Strip or obstacle taken off',
	'fields.keepStrip': 'Strip or obstacle looked at and kept',
	'fields.setCrop': 'Crop entered',
	'limits.setNutrient': 'Nutrient limit set',
	'limits.endNutrient': 'Nutrient limit taken off',
	'limits.answerCondition': 'Condition of the ground answered',
	'spaces.add': 'Closed space put on the books',
	'spaces.update': 'Closed space changed',
	'spaces.remove': 'Closed space taken off the list',
	'sprayers.add': 'Sprayer put on the books',
	'sprayers.update': 'Sprayer changed',
	'store.receive': 'Delivery booked',
	'store.receiveDelivery': 'Delivery note booked',
	'store.count': 'Product counted',
	'store.post': 'Other movement booked',
	'store.reverse': 'Posting taken back',
	'store.move': 'Containers moved to another store',
	'store.addStore': 'Another store added',
	'store.saveSite': 'Building of the store entered',
	'store.openStockTake': 'Stock take opened',
	'store.enterCount': 'Count entered',
	'store.settleDifference': 'Difference settled',
	'store.approveStockTake': 'Stock take approved',
	'store.dropStockTake': 'Stock take dropped',
	'waste.countEmpties': 'Empty containers counted',
	'waste.noteRinse': 'Rinsing of containers noted',
	'waste.closeBag': 'Bag of caps and foils closed',
	'waste.collect': 'Collection of empties booked',
	'waste.takeBack': 'Collection of empties taken back',
	'recommendations.add': 'Recommendation entered',
	'recommendations.withdraw': 'Recommendation withdrawn',
	'recipes.save': 'Recipe saved',
	'recipes.remove': 'Recipe taken off the list',
	'jobs.add': 'Job planned',
	'jobs.change': 'Plan of a job changed',
	'jobs.replan': 'Rest of a job planned again',
	'jobs.giveReason': 'Reason given against a warning',
	'jobs.remove': 'Job withdrawn',
	'jobs.logLoad': 'Load logged',
	'jobs.reverseLoad': 'Load taken back',
	'jobs.logWashings': 'Washings logged',
	'jobs.reverseWashings': 'Washings taken back',
	'jobs.sow': 'Treated seed sown',
	'jobs.unsow': 'Sowing taken back',
	'jobs.close': 'Job closed',
	'fills.step': 'Step of a fill',
	'fills.log': 'Fill ended',
	'fills.cleanDown': 'Filling place cleaned down',
	'fills.rinseOut': 'Sprayer rinsed out',
	'fills.incident': 'Incident entered',
	'fills.completeIncident': 'Incident told in full',
	'fills.withdrawIncident': 'Incident withdrawn',
	'records.complete': 'Records completed',
	'records.correct': 'Record corrected',
	'upkeep.restore': 'Books replaced by a backup',
	'settings.setBackground': 'Background of the map set',
	'upkeep.buildDemo': 'Demonstration farm laid out',
};

export function changeWords({ procedure }: Change): string {
	return words[procedure] ?? procedure;
}

/** Names of products, fields, jobs and sprayers by their id. */
export type Names = ReadonlyMap<string, string>;

const SUBJECT = ['productId', 'fieldId', 'jobId', 'sprayerId', 'id'];
const TOLD = [
	'name',
	'farmName',
	'crop',
	'condition',
	'label',
	'load',
	'packs',
	'packSize',
	'counted',
	'why',
	'reason',
	'date',
];

/** The thing, name, reason or date that tells one change from the next. */
export function changeSubject({ input }: Change, names: Names): string {
	const entered = parsed(input);
	if (typeof entered !== 'object' || entered === null || Array.isArray(entered)) return '';
	const of = (key: string) => (entered as Record<string, unknown>)[key];
	const things = SUBJECT.flatMap((key) => names.get(String(of(key))) ?? []);
	const told = TOLD.flatMap((key) => {
		const value = of(key);
		if (typeof value === 'number') return [`${spaced(key)} ${value}`];
		return typeof value === 'string' ? [written(value, names)] : [];
	});
	return [...things, ...told].slice(0, 3).join(', ');
}

/** The figures of an entry, one level deep; what lies deeper stands as one line. */
export function changeFigures(json: string, names: Names): (readonly [string, string])[] {
	const value = parsed(json);
	if (value === null || value === undefined) return [];
	if (Array.isArray(value)) return value.map((each, index) => [`${index + 1}`, lineOf(each, names)] as const);
	if (typeof value !== 'object') return [['value', String(value)]];
	return Object.entries(value).map(([key, inner]) => [spaced(key), lineOf(inner, names)] as const);
}

function lineOf(value: unknown, names: Names): string {
	if (value === null || value === undefined) return '–';
	if (typeof value === 'boolean') return value ? 'yes' : 'no';
	if (typeof value === 'string') {
		const inner = /^[[{]/.test(value) ? parsed(value) : value;
		return typeof inner === 'string' ? written(inner, names) : lineOf(inner, names);
	}
	if (typeof value !== 'object') return String(value);
	if (Array.isArray(value)) return value.map((each) => lineOf(each, names)).join('; ');
	return Object.entries(value)
		.map(([key, inner]) => `${spaced(key)} ${lineOf(inner, names)}`)
		.join(', ');
}

/** Ids by their names, dates as the rest of the page writes them. */
function written(text: string, names: Names): string {
	const date = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2})?/.exec(text);
	if (!date) return names.get(text) ?? text;
	return date[1] ? `${shortDate(text)} ${timeOfDay(text)}` : shortDate(text);
}

function parsed(json: string): unknown {
	try {
		return JSON.parse(json);
	} catch {
		return json;
	}
}

const UNITS = [
	['Kmh', 'km/h'],
	['LPerHa', 'L/ha'],
	['LPerMin', 'L/min'],
	['Percent', '%'],
	['Ha', 'ha'],
	['Id', ''],
	['L', 'L'],
	['M', 'm'],
	['C', '°C'],
] as const;

/** `meteredL` → `metered (L)`, `dosePerHa` → `dose per ha`, `productId` → `product` */
function spaced(key: string): string {
	const [ending = '', unit = ''] =
		UNITS.find(([end]) => key.endsWith(end) && key !== end && (end === 'LPerHa' || !key.endsWith('PerHa'))) ?? [];
	const words = key
		.slice(0, key.length - ending.length)
		.replace(/([a-z])([A-Z])/g, '$1 $2')
		.toLowerCase();
	return unit === '' ? words : `${words} (${unit})`;
}
