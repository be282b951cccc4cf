import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { Pick } from '../../parts/pick.tsx';
import { areaUnits } from './field-words.ts';
import type { FileAnswers } from './import-choices.ts';

type Say = (asks: keyof FileAnswers, value: string | null) => void;

/** Which column of the file is what; the best guess is chosen already, and none where nothing is sure. */
export function ImportColumns({ report, onSay }: { readonly report: ImportReport; readonly onSay: Say }) {
	const { file } = report;
	const options = file.attributes.map(({ name, samples }) => ({
		value: name,
		label: samples.length > 0 ? `${name} · ${samples.slice(0, 3).join(', ')}` : name,
	}));
	if (options.length === 0) return null;
	const column = (label: string, asks: keyof FileAnswers, value: string | null) => (
		<Pick
			label={label}
			options={options}
			value={value}
			onChange={(chosen) => onSay(asks, chosen)}
			placeholder="No column"
			clearable
		/>
	);
	return (
		<div className="pair">
			{column('Names from', 'nameAttribute', file.nameAttribute)}
			{column('Codes from', 'codeAttribute', file.codeAttribute)}
			{column('Mapped area from', 'mappedAreaAttribute', file.mappedAreaAttribute)}
			{file.mappedAreaAttribute !== null && (
				<Pick
					label="in"
					options={areaUnits}
					value={file.mappedAreaUnit}
					onChange={(value) => onSay('mappedAreaUnit', value)}
				/>
			)}
			{column('Crops from', 'cropAttribute', file.cropAttribute)}
			{file.cropAttribute !== null && column('Varieties from', 'varietyAttribute', file.varietyAttribute)}
			{file.cropAttribute !== null && (
				<Pick
					label="Harvest year of the crops"
					options={[-1, 0, 1].map((step) => ({ value: `${file.season + step}`, label: `${file.season + step}` }))}
					value={`${file.season}`}
					onChange={(value) => onSay('season', value)}
				/>
			)}
		</div>
	);
}
