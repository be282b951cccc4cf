import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { Pick } from '../../parts/pick.tsx';
import { areaUnits } from './field-words.ts';
import type { FileAnswers } from './import-choices.ts';

type Say = (asks: keyof FileAnswers, value: string | null) => void;
type Attribute = ImportReport['file']['attributes'][number];

/** Which column of the file is what; the best guess is chosen already, and none where nothing is sure. */
export function ImportColumns({ report, onSay }: { readonly report: ImportReport; readonly onSay: Say }) {
	const { file } = report;
	const options = file.attributes.map((attribute) => ({
		value: attribute.name,
		label: attribute.name,
		...(attribute.samples.length > 0 ? { detail: samplesOf(attribute) } : {}),
	}));
	const under = (value: string | null) => {
		const detail = options.find((option) => option.value === value)?.detail ?? 'no values';
		return value && (value.length > LONGEST_NAME ? `${value}: ${detail}` : detail);
	};
	if (options.length === 0) return null;
	const hasCrops = file.cropAttribute !== null || file.cropCodeAttribute !== null;
	const column = (label: string, asks: keyof FileAnswers, value: string | null) => (
		<Pick
			label={label}
			options={options}
			value={value}
			onChange={(chosen) => onSay(asks, chosen)}
			under={under(value)}
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
					label="Unit of that area"
					options={areaUnits}
					value={file.mappedAreaUnit}
					onChange={(value) => onSay('mappedAreaUnit', value)}
				/>
			)}
			{column('Crops from', 'cropAttribute', file.cropAttribute)}
			{hasCrops && column('EPPO codes from', 'cropCodeAttribute', file.cropCodeAttribute)}
			{hasCrops && column('Varieties from', 'varietyAttribute', file.varietyAttribute)}
			{hasCrops && (
				<Pick
					label="Harvest year"
					options={[-1, 0, 1].map((step) => ({ value: `${file.season + step}`, label: `${file.season + step}` }))}
					value={`${file.season}`}
					onChange={(value) => onSay('season', value)}
				/>
			)}
		</div>
	);
}

const LONGEST_SAMPLE = 16;
/** A longer name is cut off in its box. */
const LONGEST_NAME = 10;

/** `4.03, 3.29, 0.13`: figures without the digits that only a computer writes. */
function samplesOf({ kind, samples }: Attribute): string {
	return samples
		.slice(0, 3)
		.map((sample) => {
			if (kind === 'number' && sample.includes('.')) return String(Number(Number(sample).toPrecision(6)));
			return sample.length > LONGEST_SAMPLE ? `${sample.slice(0, LONGEST_SAMPLE - 1)}…` : sample;
		})
		.join(', ');
}
