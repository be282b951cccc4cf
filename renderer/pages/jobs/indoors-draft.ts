import type { Job } from '../../../shared/contract/jobs.ts';
import type { Indoors } from '../../../shared/contract/jobs-indoors.ts';
import type { ClosedSpace } from '../../../shared/contract/spaces.ts';
import type { SpaceUnit } from '../../../shared/core/loads/closed-space.ts';

/** A closed space of a plan. */
export type SpaceLine = {
	readonly spaceId: string;
	/** Null: all of it, as the books have it. */
	readonly amount: number | null;
	/** Something is stored or grown in it. */
	readonly inUse: boolean;
	readonly crop: string;
	readonly eppoCode: string;
};

/** The closed spaces that are treated, in their order. */
export type IndoorsDraft = {
	readonly unit: SpaceUnit;
	readonly mixL: number | null;
	readonly spaces: readonly SpaceLine[];
};

export const NO_SPACES: IndoorsDraft = { unit: 'm³', mixL: null, spaces: [] };

export function indoorsDraft(indoors: Job['indoors']): IndoorsDraft {
	if (!indoors) return NO_SPACES;
	return {
		unit: indoors.unit,
		mixL: indoors.mixL ?? null,
		spaces: indoors.spaces.map(({ spaceId, amount, crop = '', eppoCode = '' }) => ({
			...{ spaceId, amount, inUse: crop !== '', crop, eppoCode },
		})),
	};
}

/** More closed spaces at the end; they hold what the one before them holds: bins of one harvest mostly do. */
export function withSpaces({ unit, spaces }: IndoorsDraft, ids: readonly string[]): SpaceLine[] {
	const { inUse, crop, eppoCode } = spaces.at(-1) ?? { inUse: unit === 't', crop: '', eppoCode: '' };
	return [...spaces, ...ids.map((spaceId) => ({ spaceId, amount: null, inUse, crop, eppoCode }))];
}

/** Doses for something else: what is entered of each space is in another unit. Grain is treated where there is some. */
export function dosedBy({ spaces }: IndoorsDraft, unit: SpaceUnit): Pick<IndoorsDraft, 'unit' | 'spaces'> {
	return {
		unit,
		spaces: spaces.map((line) => ({ ...line, amount: null, inUse: line.inUse || unit === 't' })),
	};
}

/** What the books have of a space in a unit. */
export function onTheBooks(space: ClosedSpace | undefined, unit: SpaceUnit): number | undefined {
	return unit === 'm³' ? space?.volumeM3 : unit === 'm²' ? space?.floorM2 : undefined;
}

/** What is still to be entered of them. */
export function indoorsNeeded({ unit, spaces }: IndoorsDraft): string[] {
	return [
		...(spaces.length === 0 ? ['the closed spaces'] : []),
		...(unit === 't' && spaces.some(({ amount }) => !amount) ? ['the tonnes that are treated'] : []),
		...(spaces.some(({ inUse, crop }) => inUse && crop.trim() === '') ? ['the crop in each space in use'] : []),
	];
}

export function indoorsOf({ unit, mixL, spaces }: IndoorsDraft): Indoors {
	return {
		unit,
		...(mixL === null ? {} : { mixL }),
		spaces: spaces.map(({ spaceId, amount, inUse, crop, eppoCode }) => {
			const stored = inUse ? crop.trim() : '';
			return {
				spaceId,
				...(amount === null ? {} : { amount }),
				...(stored === '' ? {} : { crop: stored }),
				...(stored === '' || eppoCode.trim() === '' ? {} : { eppoCode: eppoCode.trim() }),
			};
		}),
	};
}
