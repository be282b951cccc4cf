import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { Choice } from '../../parts/choice.tsx';
import type { FileAnswers } from './import-choices.ts';

/** What the code pages are called in plain words. */
const pageWords: Readonly<Record<string, string>> = {
	'windows-1252': 'western European',
	'windows-1250': 'central European',
	'windows-1257': 'Baltic',
	'windows-1254': 'Turkish',
	'windows-1251': 'Cyrillic',
	'windows-1253': 'Greek',
	cp850: 'western European, of the first PCs',
	cp852: 'central European, of the first PCs',
};

/** Which letters the bytes of the names stand for, where the file does not say: a person sees which reading is right. */
export function LettersQuestion(props: {
	readonly report: ImportReport;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
}) {
	const { letters, encoding } = props.report.file;
	if (letters.length === 0) return null;
	return (
		<Choice
			legend="The file does not say for certain how its letters are written. Which reading is right?"
			options={letters.map((reading) => ({
				value: reading.encoding,
				label: reading.samples.join(' · '),
				detail: [pageWords[reading.encoding], reading.encoding].filter(Boolean).join(' · '),
			}))}
			value={encoding}
			onChange={(value) => props.onSay('encoding', value)}
		/>
	);
}
