import type { WashingsAhead } from '../../../shared/contract/jobs-washings.ts';
import type { LooseBoundary } from '../../map/boundary.ts';
import type { WeatherSeen } from '../records/weather-inputs.tsx';
import { spanOf } from './local-time.ts';

export type GroundLine = {
	readonly fieldId: string;
	readonly areaHa: number | null;
	readonly over: 'sprayed ground' | 'unsprayed ground';
	/** Another job that had sprayed this ground. */
	readonly onJobId?: string;
	/** The part of the field, as drawn. */
	readonly ground?: LooseBoundary;
};

/** Washings as they are entered. */
export type WashingsDraft = {
	readonly leftL: number | null;
	readonly residualL: number | null;
	readonly rinses: number | null;
	readonly eachL: number | null;
	/** Rinses of different size that were noted with the sprayer; they hold until others are entered. */
	readonly noted: readonly number[];
	readonly ground: readonly GroundLine[];
	readonly date: string | null;
	readonly began: string;
	readonly ended: string;
	readonly operator: string;
	readonly weather: WeatherSeen;
	/** What was in flower; empty: not answered. */
	readonly flowering: string;
	/** Note the sprayer as rinsed out with it. */
	readonly rinsedOut: boolean;
	readonly note: string;
};

/** What a job's washings usually are: what the books know of the rest, else three rinses as in the yard. */
export function newWashings(
	known: WashingsAhead,
	of: { readonly date: string; readonly began: string; readonly ended: string; readonly operator: string },
): WashingsDraft {
	const { rinsesL } = known;
	const even = rinsesL.every((litres) => litres === rinsesL[0]);
	return {
		leftL: known.leftL,
		residualL: known.residualL,
		rinses: even ? rinsesL.length || 3 : null,
		eachL: even ? (rinsesL[0] ?? 100) : null,
		noted: rinsesL,
		ground: known.fields.map(({ fieldId }) => ({ fieldId, areaHa: null, over: 'sprayed ground' })),
		...of,
		weather: {},
		flowering: '',
		rinsedOut: known.rinsedAt === null,
		note: '',
	};
}

export function rinsesOf({ rinses, eachL, noted }: Pick<WashingsDraft, 'rinses' | 'eachL' | 'noted'>): number[] {
	if (rinses === null && eachL === null) return [...noted];
	return rinses === null || eachL === null ? [] : Array.from({ length: rinses }, () => eachL);
}

export function groundOf({ ground }: Pick<WashingsDraft, 'ground'>) {
	return ground.flatMap(({ areaHa, ground: drawn, ...line }) =>
		areaHa !== null && areaHa > 0
			? [{ ...line, areaHa, ...(drawn ? { ground: { ...drawn, coordinates: [...drawn.coordinates] } } : {}) }]
			: [],
	);
}

/** What is sent; null while the litres or the day are open. */
export function washingsRequest(draft: WashingsDraft, jobId: string) {
	const { leftL, residualL, date, began, ended, weather } = draft;
	if (leftL === null || date === null || began === '' || ended === '') return null;
	const { startedAt, finishedAt } = spanOf(date, began, ended);
	const rinsesL = rinsesOf(draft);
	const [flowering, note] = [draft.flowering.trim(), draft.note.trim()];
	return {
		jobId,
		leftL,
		...(residualL === null ? {} : { residualL }),
		rinsesL,
		fields: groundOf(draft),
		startedAt,
		finishedAt,
		operator: draft.operator.trim(),
		...(Object.keys(weather).length > 0 ? { weather } : {}),
		...(flowering === '' ? {} : { flowering }),
		rinsedOut: draft.rinsedOut && rinsesL.length > 0,
		...(note === '' ? {} : { note }),
	};
}
