import type { JsonValue } from '../../../shared/basics/problem.ts';
import type { ImportReport } from '../../../shared/contract/fields.ts';
import type { Option } from '../../parts/pick.tsx';
import { choicesOf, type ShownProblem } from '../../problem.ts';

/** What a person has said about a file so far; what is left out is found in the file itself. */
export type FileAnswers = {
	readonly layer?: string;
	readonly crs?: string;
	readonly encoding?: string;
	readonly nameAttribute?: string;
	readonly codeAttribute?: string;
	readonly mappedAreaAttribute?: string;
	readonly mappedAreaUnit?: NonNullable<ImportReport['file']['mappedAreaUnit']>;
};

export type FileQuestion = {
	readonly asks: keyof FileAnswers;
	readonly label: string;
	readonly options: readonly Option[];
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

/** A choice is a bare value, or a value with its name. */
function optionOf(choice: JsonValue): Option {
	if (typeof choice !== 'object' || choice === null || Array.isArray(choice))
		return { value: String(choice), label: String(choice) };
	const parts = choice as { readonly [key: string]: JsonValue };
	const value = String(parts['value'] ?? parts['code'] ?? parts['crs'] ?? parts['name'] ?? parts['unit'] ?? '');
	const rest = Object.entries(parts)
		.filter(([key, each]) => String(each) !== value && key !== 'value' && each !== null)
		.map(([key, each]) => (key === 'label' || key === 'name' ? String(each) : `${key} ${String(each)}`));
	return { value, label: [value, ...rest].join(' · ') };
}
