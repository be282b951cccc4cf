import type { SquareMetres } from '../../units/quantity.ts';

export type FindingKind =
	| 'cannot be measured'
	| 'open ring'
	| 'repeated point'
	| 'spike'
	| 'self-crossing'
	| 'self-touching'
	| 'rings overlap'
	| 'sliver'
	| 'no area'
	| 'parts far apart'
	| 'outside region';

/** Something odd about a boundary. Part, ring and vertex are counted from zero, as in the geometry; `say` counts from one. */
export type BoundaryFinding = {
	readonly kind: FindingKind;
	readonly part: number;
	readonly ring: number;
	readonly vertex?: number;
	readonly at?: readonly [lon: number, lat: number];
	/** For crossings and overlaps: the ground truly covered, every loop counted once. For spikes and slivers: their ground. */
	readonly m2?: SquareMetres;
	readonly say: string;
};
