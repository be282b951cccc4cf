import type { MarginOnField } from '../../shared/contract/jobs-margins.ts';
import {
	type DriftReduction,
	marginWords,
	type WaterThere,
	type WaterWidth,
} from '../../shared/core/limits/margin-kept.ts';

/** A margin while it is being entered. */
export type MarginRow = {
	/** Null: on every field. */
	readonly fieldId: string | null;
	readonly margin: string;
	readonly water: WaterThere | null;
	readonly width: WaterWidth | null;
	readonly driftReduction: DriftReduction | null;
	readonly pressureFromBar: number | null;
	readonly pressureToBar: number | null;
	readonly lessDriftWithin30M: boolean | null;
	readonly keptM: number | null;
	readonly by: string;
	/** Something was entered: what is only proposed is not sent. */
	readonly said: boolean;
};

export const NO_MARGIN: MarginRow = {
	...{ fieldId: null, margin: '', water: null, width: null, driftReduction: null, keptM: null, by: '', said: false },
	...{ pressureFromBar: null, pressureToBar: null, lessDriftWithin30M: null },
};

/** A margin as it stands on the books. */
export function marginRow(kept: MarginOnField): MarginRow {
	const said = Object.entries(kept).filter(([, value]) => value !== undefined);
	return { ...NO_MARGIN, ...Object.fromEntries(said), said: true };
}

/** What is sent of the rows in which something was entered; only what means something for the water that is there. */
export function marginsSaid(rows: readonly MarginRow[]): MarginOnField[] {
	return rows
		.filter(({ said }) => said)
		.map(({ fieldId, margin, water, keptM, by, ...row }) => ({
			margin: margin.trim(),
			...(fieldId === null ? {} : { fieldId }),
			...(water === null ? {} : { water }),
			...(water === 'none' ? {} : saidOfWater(row)),
			...(keptM === null ? {} : { keptM }),
			...(by.trim() === '' ? {} : { by: by.trim() }),
		}));
}

/** What was said of margins in words, each with its field where there are several; empty: nothing was. */
export function marginsOnFields(
	rows: readonly MarginRow[],
	fields: readonly { readonly fieldId: string; readonly name: string }[],
): string {
	const said = marginsSaid(rows).map((margin) => {
		const on = fields.length > 1 && fields.find(({ fieldId }) => fieldId === margin.fieldId)?.name;
		return `${on ? `${on}, ` : ''}${marginWords({ ...margin, by: '' })}`;
	});
	return said.join('; ');
}

type OfWater = Pick<MarginRow, 'width' | 'driftReduction' | 'pressureFromBar' | 'pressureToBar' | 'lessDriftWithin30M'>;

function saidOfWater({ width, driftReduction, pressureFromBar, pressureToBar, lessDriftWithin30M }: OfWater) {
	return {
		...(width === null ? {} : { width }),
		...(driftReduction === null ? {} : { driftReduction }),
		...(pressureFromBar === null ? {} : { pressureFromBar }),
		...(pressureToBar === null ? {} : { pressureToBar }),
		...(lessDriftWithin30M === null ? {} : { lessDriftWithin30M }),
	};
}
