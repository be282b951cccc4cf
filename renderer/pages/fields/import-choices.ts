import type { JsonValue } from '../../../shared/basics/problem.ts';
import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { figure, hectares } from '../../format.ts';
import { choicesOf, type ShownProblem } from '../../problem.ts';

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
	readonly varietyAttribute?: string | null;
	readonly season?: number;
	readonly repairs?: Pick<ImportReport['repairs'][number], 'record' | 'repair'>[];
	/** Records that are the field of their name or code, though it lies far away. */
	readonly sameThoughFar?: number[];
};

/** One answer: its name, what speaks for it, and the hectares the file would then hold. */
export type FileOption = {
	readonly value: string;
	readonly label: string;
	readonly detail?: string;
	readonly figure?: string;
};
export type FileQuestion = {
	readonly asks: keyof FileAnswers;
	readonly label: string;
	readonly options: readonly FileOption[];
};

const questions: Readonly<Record<string, { readonly asks: keyof FileAnswers; readonly label: string }>> = {
	'file.layerUnclear': { asks: 'layer', label: 'Layer' },
	'file.crsUnknown': { asks: 'crs', label: 'Reference system of the coordinates' },
	'file.areaUnitUnclear': { asks: 'mappedAreaUnit', label: 'Unit of the area column' },
	'file.attributeUnknown': { asks: 'nameAttribute', label: 'Column with the names' },
};

/** The question a refusal asks, with what may be answered. */
export function questionOf(problem: ShownProblem): FileQuestion | undefined {
	const question = questions[problem.code];
	if (!question) return undefined;
	return { ...question, options: choicesOf(problem).map(optionOf) };
}

/** A choice is a bare value, or a value with its name and what the file would come to with it. */
function optionOf(choice: JsonValue): FileOption {
	if (typeof choice !== 'object' || choice === null || Array.isArray(choice)) {
		return { value: String(choice), label: String(choice) };
	}
	const parts = choice as { readonly [key: string]: JsonValue };
	const value = String(parts['value'] ?? parts['crs'] ?? parts['layer'] ?? parts['unit'] ?? parts['name'] ?? '');
	const label = String(parts['name'] ?? value);
	const where = placeOf(parts['centre']);
	const km = parts['kmFromFarm'];
	const away = typeof km === 'number' ? `${figure(km, 0)} km from your fields` : '';
	const sea = parts['inSea'] === true ? 'in the sea' : '';
	const detail = [label === value ? '' : value, where, sea, away].filter((part) => part !== '').join(' · ');
	const totalHa = parts['totalHa'];
	return {
		value,
		label,
		...(detail === '' ? {} : { detail }),
		...(typeof totalHa === 'number' ? { figure: `${hectares(totalHa)} ha` } : {}),
	};
}

/** `12.199° S, 45.895° W`: where the fields would lie. */
function placeOf(centre: JsonValue | undefined): string {
	const [lon, lat] = Array.isArray(centre) ? centre : [];
	if (typeof lon !== 'number' || typeof lat !== 'number') return '';
	const degrees = (value: number, letters: string) => `${figure(Math.abs(value), 3)}° ${letters[value < 0 ? 1 : 0]}`;
	return `centre at ${degrees(lat, 'NS')}, ${degrees(lon, 'EW')}`;
}
