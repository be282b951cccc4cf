import type { MarginOnField } from '../../shared/contract/jobs-margins.ts';
import type { DriftReduction, WaterThere, WaterWidth } from '../../shared/core/limits/margin-kept.ts';

/** A margin while it is being entered. */
export type MarginRow = {
	/** Null: on every field. */
	readonly fieldId: string | null;
	readonly margin: string;
	readonly water: WaterThere | null;
	readonly width: WaterWidth | null;
	readonly driftReduction: DriftReduction | null;
	readonly keptM: number | null;
	readonly by: string;
	/** Something was entered: what is only proposed is not sent. */
	readonly said: boolean;
};

export const NO_MARGIN: MarginRow = {
	...{ fieldId: null, margin: '', water: null, width: null, driftReduction: null, keptM: null, by: '', said: false },
};

/** A margin as it stands on the books. */
export function marginRow(kept: MarginOnField): MarginRow {
	const { fieldId = null, margin, water = null, width = null, driftReduction = null, keptM = null, by = '' } = kept;
	return { fieldId, margin, water, width, driftReduction, keptM, by, said: true };
}

/** What is sent of the rows in which something was entered; only what means something for the water that is there. */
export function marginsSaid(rows: readonly MarginRow[]): MarginOnField[] {
	return rows
		.filter(({ said }) => said)
		.map(({ fieldId, margin, water, width, driftReduction, keptM, by }) => ({
			margin: margin.trim(),
			...(fieldId === null ? {} : { fieldId }),
			...(water === null ? {} : { water }),
			...(width === null || water === 'none' ? {} : { width }),
			...(driftReduction === null || water === 'none' ? {} : { driftReduction }),
			...(keptM === null ? {} : { keptM }),
			...(by.trim() === '' ? {} : { by: by.trim() }),
		}));
}
