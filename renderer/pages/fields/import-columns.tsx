import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { Pick } from '../../parts/pick.tsx';
import { areaUnits } from './field-words.ts';
import type { FileAnswers } from './import-choices.ts';

type Say = (asks: keyof FileAnswers, value: string | null) => void;
type Attribute = ImportReport['file']['attributes'][number];

/** Which column of the file is what; the best guess is chosen already, and none where nothing is sure. */
export function ImportColumns({ report, onSay }: { readonly report: ImportReport; readonly onSay: Say }) {
	const { file } = report;
	const options = file.attributes.map(({ name, samples }) => ({
		value: name,
		label: name,
		...(samples.length > 0 ? { detail: samplesOf(samples) } : {}),
	}));
	if (options.length === 0) return null;
	const hasCrops = file.cropAttribute !== null || file.cropCodeAttribute !== null;
	const column = (label: string, asks: keyof FileAnswers, value: string | null) => (
		<Pick
			label={label}
			options={options}
			value={value}
			onChange={(chosen) => onSay(asks, chosen)}
			under={options.find((option) => option.value === value)?.detail}
			placeholder="No column"
			clearable
		/>
	);
	return (
		<div className="import-columns">
			{column('Names from', 'nameAttribute', file.nameAttribute)}
			{column('Codes from', 'codeAttribute', file.codeAttribute)}
			{column('Mapped area from', 'mappedAreaAttribute', file.mappedAreaAttribute)}
			{file.mappedAreaAttribute !== null && (
				<Pick
					label="Unit of the mapped area"
					options={areaUnits}
					value={file.mappedAreaUnit}
					onChange={(value) => onSay('mappedAreaUnit', value)}
				/>
			)}
			{column('Crops from', 'cropAttribute', file.cropAttribute)}
			{hasCrops && column('EPPO codes of the crops from', 'cropCodeAttribute', file.cropCodeAttribute)}
			{hasCrops && column('Varieties from', 'varietyAttribute', file.varietyAttribute)}
			{hasCrops && (
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

const LONGEST_SAMPLE = 24;

/** `4.03, 3.29, 0.13` */
function samplesOf(samples: Attribute['samples']): string {
	return samples
		.slice(0, 3)
		.map((sample) => (sample.length > LONGEST_SAMPLE ? `${sample.slice(0, LONGEST_SAMPLE - 1)}…` : sample))
		.join(', ');
}
