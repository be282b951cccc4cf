import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { AreaStep } from '../../pictures/area-steps.tsx';
import { basisWords } from './field-words.ts';

const M2_PER_HECTARE = 10_000;
/** Steps below a square centimetre are the last digits of a computer. */
const NOTHING_HA = 1e-8;
/** Causes in the order a person looks at them: a wrong unit before anything else. */
const CAUSES = ['unit or column mix-up', 'strips', 'grid scale', 'rounding'];

/**
 * From the mapped area to the area to load for: each cause, what nobody can explain as a strip all round, the measured
 * area, then what is not sprayed and what the user decided. Empty where fewer than two figures stand side by side.
 */
export function areaSteps(detail: FieldDetail): AreaStep[] {
	const { field } = detail;
	const mapped = field.mappedHa;
	const measured = field.measuredHa;
	const steps: AreaStep[] = [];
	let at: number | null = null;
	const total = (key: string, label: string, areaHa: number, of: 'mapped' | 'measured' | 'load', note?: string) => {
		steps.push({ key, label, kind: 'total', of, from: areaHa, to: areaHa, ...(note ? { note } : {}) });
		at = areaHa;
	};
	const step = (key: string, label: string, areaHa: number, rest: Partial<AreaStep> = {}) => {
		if (at === null || Math.abs(areaHa) < NOTHING_HA) return;
		steps.push({ key, label, kind: 'step', from: at, to: at + areaHa, ...rest });
		at += areaHa;
	};
	if (mapped !== null) total('mapped', 'Mapped area', mapped, 'mapped');
	if (measured !== null && detail.difference) {
		const { causes, unexplainedHa, toleranceHa, withinTolerance } = detail.difference;
		for (const name of CAUSES) {
			for (const { cause, areaHa } of causes)
				if (cause === name) step(cause, causeWords[cause] ?? cause, areaHa, noteOf(cause));
		}
		step('unexplained', 'Boundary difference', unexplainedHa, {
			note: allRound(unexplainedHa, field.perimeterM),
			toleranceHa,
			tone: withinTolerance ? 'quiet' : 'look',
		});
	}
	if (measured !== null) total('measured', 'Measured area', measured, 'measured');
	const { loadForHa, loadForBasis } = field;
	if (loadForHa === null || at === null) return steps.length > 1 ? steps : [];
	if (loadForBasis === 'boundary') {
		for (const { id, label, areaHa, kind } of detail.strips)
			step(id, label, -areaHa, { tone: 'left out', note: kind === 'strip' ? 'strip, not sprayed' : 'obstacle' });
	} else if (loadForBasis) {
		step('decided', 'Decided otherwise', loadForHa - at, { tone: 'quiet', note: basisWords[loadForBasis] });
	}
	total('load', 'To load for', loadForHa, 'load');
	return steps.length > 2 ? steps : [];
}

/** Rounding is not known: it is given what it can explain at most. */
function noteOf(cause: string): { note?: string } {
	return cause === 'rounding' ? { note: 'at most half its last digit' } : {};
}

const causeWords: Readonly<Record<string, string>> = {
	'unit or column mix-up': 'Unit or column mixed up',
	strips: 'Left out of the mapped figure',
	'grid scale': 'Scale of the map grid',
	rounding: 'Rounding of the mapped figure',
};

/** `1.9 m all round`, for a field of that perimeter. */
export function allRound(areaHa: number, perimeterM: number | null): string {
	if (perimeterM === null || perimeterM <= 0) return '';
	const width = Math.abs((areaHa * M2_PER_HECTARE) / perimeterM);
	return width >= 0.05 ? `${width.toFixed(1)} m all round` : 'less than 0.1 m all round';
}

/** What loading for the mapped figure would do to a job at a spray volume, in litres of mix. */
export function litresApart(detail: FieldDetail, sprayVolumeLPerHa: number): number | null {
	const { mappedHa, loadForHa } = detail.field;
	return mappedHa === null || loadForHa === null ? null : (loadForHa - mappedHa) * sprayVolumeLPerHa;
}
