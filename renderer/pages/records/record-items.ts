import type { RecordLine, RuleSet } from '../../../shared/contract/records.ts';
import { assessedWords, leftOpen, narrowestKept } from '../../../shared/core/limits/margin-kept.ts';
import { nutrientWords } from '../../../shared/core/products/nutrient.ts';
import { amount, figure, litres, longDate, productName, timeOfDay } from '../../format.ts';
import { broughtOut } from '../../kind-words.ts';
import type { Units } from '../../units.ts';
import { lineDose, lineGround } from './treatments.ts';

/** One item of a record as it is read. Null text: nothing entered. */
export type RecordItem = { readonly name: string; readonly text: (line: RecordLine) => string | null };

/** Whether its first version was written after the day the rule set gives. */
export function isWrittenLate({ createdAt, writeBy }: Pick<RecordLine, 'createdAt' | 'writeBy'>): boolean {
	return writeBy !== null && createdAt.slice(0, 10) > writeBy;
}

/** Everything a record holds, in the order a person asks. */
export const recordGroups: readonly { readonly title: string; readonly items: readonly RecordItem[] }[] = [
	{
		title: 'Where and why',
		items: [
			{ name: 'Field', text: ({ field, space }) => (space?.place ? `${field}, ${space.place}` : field) },
			{ name: 'Treated', text: (line) => lineGround(line) },
			{ name: 'Crop', text: ({ crop }) => entered(crop) },
			{ name: 'EPPO code', text: ({ eppoCode }) => entered(eppoCode) },
			{ name: 'Growth stage', text: ({ growthStage }) => (entered(growthStage) ? `BBCH ${growthStage}` : null) },
			{ name: 'Reason', text: ({ reason }) => entered(reason) },
		],
	},
	{
		title: 'With what',
		items: [
			{ name: 'Product', text: ({ product, formulation }) => productName(product, formulation) },
			{ name: 'Authorisation number', text: ({ authorisationNo }) => entered(authorisationNo) },
			{
				name: 'Dose',
				text: (line) => [lineDose(line), nutrientWords(line.nutrients)].filter(Boolean).join(', brings '),
			},
			{
				name: 'Amount',
				text: (line) => [poured(line), stayed(line)].filter(Boolean).join('; '),
			},
			{
				name: 'Brought out as',
				text: ({ kind, carrier, washings }) =>
					washings ? `washings, ${litres(washings.litres)} L in all there` : broughtOut(kind, carrier),
			},
			{
				name: 'Spray volume',
				text: ({ sprayVolumeLPerHa }) => (sprayVolumeLPerHa === null ? null : `${figure(sprayVolumeLPerHa)} L/ha`),
			},
			{ name: 'Machine', text: ({ sprayer }) => sprayer },
		],
	},
	{
		title: 'When and by whom',
		items: [
			{ name: 'Date', text: ({ date }) => longDate(date) },
			{
				name: 'From, to',
				text: ({ startedAt, finishedAt }) => `${timeOfDay(startedAt)} to ${timeOfDay(finishedAt)}`,
			},
			{ name: 'Operator', text: ({ operator }) => entered(operator) },
			{ name: 'Certificate number', text: ({ certificateNo }) => entered(certificateNo) },
		],
	},
	{
		title: 'Weather and distance',
		items: [
			{ name: 'Wind', text: windText },
			{ name: 'Air', text: airText },
			{
				name: 'Buffer kept',
				text: ({ bufferM, assessed }) => {
					const kept = bufferM ?? (assessed && narrowestKept(assessed));
					return kept === null ? null : `${figure(kept, decimals(kept))} m`;
				},
			},
			{ name: 'Margins assessed', text: ({ assessed }) => assessed && assessedWords(assessed) },
			{ name: 'In flower', text: ({ flowering }) => entered(flowering) },
			{ name: 'Who was told', text: ({ told }) => entered(told) },
		],
	},
	{
		title: 'What to wait for',
		items: [
			{
				name: 'No entry until',
				text: ({ noEntryUntil }) => noEntryUntil && `${longDate(noEntryUntil)} ${timeOfDay(noEntryUntil)}`,
			},
			{ name: 'Harvest from', text: ({ harvestFrom }) => harvestFrom && longDate(harvestFrom) },
		],
	},
];

/** What the rules call good to have of margins and its assessment does not say. */
export function leftOpenBy({ assessed }: RecordLine, { items }: RuleSet): string[] {
	return assessed ? leftOpen(assessed).filter((open) => items.some(({ item }) => item === open)) : [];
}

/** Items the program writes; the others stand as they were typed. */
const reckoned: ReadonlySet<string> = new Set([
	...['Treated', 'Dose', 'Amount', 'Brought out as', 'Spray volume'],
	...['Wind', 'Air', 'Buffer kept', 'Margins assessed'],
]);

/** What a record says, or a dash. */
export function itemText(item: RecordItem, line: RecordLine, { say }: Units): string {
	const text = item.text(line) ?? '–';
	return reckoned.has(item.name) ? say(text) : text;
}

function windText({ weather }: RecordLine): string | null {
	if (weather?.windSpeedKmh === undefined) return null;
	const height = weather.windHeightM === undefined ? '' : ` at ${weather.windHeightM} m`;
	return [`${figure(weather.windSpeedKmh, decimals(weather.windSpeedKmh))} km/h`, weather.windDirection]
		.filter(Boolean)
		.join(' ')
		.concat(height);
}

function airText({ weather }: RecordLine): string | null {
	const { temperatureC, humidityPercent } = weather ?? {};
	const parts = [
		temperatureC === undefined ? null : `${figure(temperatureC, decimals(temperatureC))} °C`,
		humidityPercent === undefined ? null : `${figure(humidityPercent)} % humidity`,
	].filter((part) => part !== null);
	return parts.length > 0 ? parts.join(', ') : null;
}

function entered(text: string | null): string | null {
	return text === null || text.trim() === '' ? null : text;
}

function decimals(value: number): number {
	return Number.isInteger(value) ? 0 : 1;
}

function poured({ amount: total, unit, confirmed }: RecordLine): string {
	return `${amount(Number(total.toFixed(3)), unit)}${confirmed ? '' : ', as planned'}`;
}

/** The first load of a job brings what sump and lines hold: it is poured, and on no ground. */
function stayed({ stayedInTank, unit }: RecordLine): string {
	return stayedInTank === undefined
		? ''
		: `${amount(Number(stayedInTank.toFixed(3)), unit)} of it stayed in sump and lines`;
}
