import type { JsonValue } from '../../../shared/basics/problem.ts';
import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { count, figure, hectares } from '../../format.ts';
import { choicesOf, type ShownProblem } from '../../problem.ts';
import { areaUnits } from './field-words.ts';

/** What a person has said about a file so far; what is left out is found in the file itself. */
export type FileAnswers = {
	readonly layer?: string;
	readonly crs?: string;
	readonly encoding?: string;
	readonly nameAttribute?: string | null;
	readonly codeAttribute?: string | null;
	readonly mappedAreaAttribute?: string | null;
	readonly mappedAreaUnit?: NonNullable<ImportReport['file']['mappedAreaUnit']>;
	readonly cropAttribute?: string | null;
	readonly cropCodeAttribute?: string | null;
	readonly varietyAttribute?: string | null;
	readonly season?: number;
	readonly repairs?: Pick<ImportReport['repairs'][number], 'record' | 'repair'>[];
	readonly exchangeCoordinates?: boolean;
	/** Records that are the field of their name or code, though it lies far away. */
	readonly sameThoughFar?: number[];
};

/** One answer: its name, what speaks for it, and the hectares the file would then hold. */
export type FileOption = {
	readonly value: string;
	readonly label: string;
	readonly detail?: string;
	readonly figure?: string;
	/** It cannot be chosen; the detail says why. */
	readonly disabled?: boolean;
	/** Beyond the farm's ground: shown only when asked for. */
	readonly far?: boolean;
};
export type FileQuestion = {
	readonly asks: keyof FileAnswers;
	readonly label: string;
	readonly options: readonly FileOption[];
	/** To what the options that are not far were narrowed. */
	readonly narrowed?: string;
	/** Nothing says where the farm lies, so nothing was narrowed. */
	readonly farmNowhere?: boolean;
	/** The measured area of the fields that have a figure in the column. */
	readonly measuredHa?: number;
};

/** In place of a reference system: the file is not to be trusted, ask. */
export const ASK = 'ask';

const questions: Readonly<Record<string, { readonly asks: keyof FileAnswers; readonly label: string }>> = {
	'file.layerUnclear': { asks: 'layer', label: 'Layer' },
	'file.crsAsked': { asks: 'crs', label: 'The coordinates are in' },
	'file.crsUnknown': { asks: 'crs', label: 'Reference system of the coordinates' },
	'file.areaUnitUnclear': { asks: 'mappedAreaUnit', label: 'Unit of the area column' },
	'file.attributeUnknown': { asks: 'nameAttribute', label: 'Column with the names' },
};

/** The question a refusal asks, with what may be answered. */
export function questionOf(problem: ShownProblem): FileQuestion | undefined {
	const question = questions[problem.code];
	if (!question) return undefined;
	const { narrowed, farmNowhere, measuredHa } = problem.details;
	const options = question.asks === 'mappedAreaUnit' ? unitOptions(problem) : choicesOf(problem).map(optionOf);
	return {
		...question,
		options,
		...(typeof narrowed === 'string' ? { narrowed } : {}),
		...(farmNowhere === true ? { farmNowhere } : {}),
		...(typeof measuredHa === 'number' ? { measuredHa } : {}),
	};
}

/** Each unit with what the column would come to: only one of them comes near the measured total. */
function unitOptions({ details }: ShownProblem): FileOption[] {
	const totals = (details['totalsHa'] ?? {}) as { readonly [unit: string]: number };
	return areaUnits.map(({ value, label, detail }) => {
		const totalHa = totals[value];
		return { value, label, detail, ...(totalHa === undefined ? {} : { figure: `${hectares(totalHa)} ha` }) };
	});
}

/** A choice is a bare value, or a value with its name and what the file would come to with it. */
function optionOf(choice: JsonValue): FileOption {
	if (typeof choice !== 'object' || choice === null || Array.isArray(choice)) {
		return { value: String(choice), label: String(choice) };
	}
	const parts = choice as { readonly [key: string]: JsonValue };
	const value = String(parts['value'] ?? parts['crs'] ?? parts['layer'] ?? parts['unit'] ?? parts['name'] ?? '');
	const label = String(parts['name'] ?? value);
	const [lon, lat] = Array.isArray(parts['centre']) ? parts['centre'] : [];
	const where = typeof lon === 'number' && typeof lat === 'number' ? `centre at ${placeText(lon, lat)}` : '';
	const exchanged = parts['exchanged'] === true;
	const order = exchanged ? 'with the two coordinates of each point exchanged' : '';
	const km = parts['kmFromFarm'];
	const away = typeof km === 'number' ? `${figure(km, 0)} km from your fields` : '';
	const sea = parts['inSea'] === true ? 'in the sea' : '';
	const own = parts['inFile'] === true ? 'as the file says' : '';
	const why = typeof parts['why'] === 'string' ? parts['why'] : '';
	const told = [label === value ? '' : value, own, order, where, sea, away, holds(parts), why];
	const detail = told.filter((part) => part !== '').join(' · ');
	const totalHa = parts['totalHa'];
	return {
		value: exchanged ? `${value}${EXCHANGED}` : value,
		label,
		...(parts['far'] === true ? { far: true } : {}),
		...(why === '' ? {} : { disabled: true }),
		...(detail === '' ? {} : { detail }),
		...(typeof totalHa === 'number' ? { figure: `${hectares(totalHa)} ha` } : {}),
	};
}

const MOST_COLUMNS = 8;

/** What a layer holds: `12 areas · columns: NAME, CODE, AREA`. */
function holds({ records, areas, more, columns }: { readonly [key: string]: JsonValue }): string {
	if (typeof records !== 'number' || typeof areas !== 'number') return '';
	const most = more === true ? 'more than ' : '';
	const all =
		areas === records ? `${most}${count(areas, 'area')}` : `${most}${count(records, 'record')}, ${areas} with areas`;
	if (!Array.isArray(columns) || columns.length === 0) return `${all}, no columns`;
	const rest = columns.length - MOST_COLUMNS;
	const named = columns.slice(0, MOST_COLUMNS).join(', ');
	return `${all} · ${columns.length === 1 ? 'column' : 'columns'} ${named}${rest > 0 ? ` and ${rest} more` : ''}`;
}

/** What stands behind the code of a reference system that is chosen with exchanged coordinates. */
const EXCHANGED = ' exchanged';

/** An answer replaces the last; a new layer or reference system takes what hangs on it along. No column is an answer too. */
export function answered(answers: FileAnswers, asks: keyof FileAnswers, value: string | null): FileAnswers {
	const { [asks]: _, ...rest } = answers;
	if (asks === 'layer') return value === null ? {} : { layer: value, ...(answers.crs ? { crs: answers.crs } : {}) };
	if (asks === 'season') return value === null ? rest : { ...rest, season: Number(value) };
	if (asks === 'crs') return inSystem(rest, value);
	const kept = asks === 'mappedAreaAttribute' ? without(rest, 'mappedAreaUnit') : rest;
	return value === null && !asks.endsWith('Attribute') ? kept : { ...kept, [asks]: value };
}

/** Repairs and far namesakes are those of a place: in another they have to be chosen anew. */
export function exchanged(answers: FileAnswers, exchangeCoordinates: boolean): FileAnswers {
	return { ...without(without(answers, 'repairs'), 'sameThoughFar'), exchangeCoordinates };
}

function inSystem(answers: FileAnswers, value: string | null): FileAnswers {
	const placed = exchanged(answers, value?.endsWith(EXCHANGED) === true);
	return value === null ? without(placed, 'exchangeCoordinates') : { ...placed, crs: value.replace(EXCHANGED, '') };
}

export function without(answers: FileAnswers, key: keyof FileAnswers): FileAnswers {
	const { [key]: _, ...rest } = answers;
	return rest;
}

/** `12.199° S, 45.895° W` */
export function placeText(lon: number, lat: number): string {
	const degrees = (value: number, letters: string) => `${figure(Math.abs(value), 3)}° ${letters[value < 0 ? 1 : 0]}`;
	return `${degrees(lat, 'NS')}, ${degrees(lon, 'EW')}`;
}
