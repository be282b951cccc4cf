/** Records of one file that cover the same ground: the same ground counted twice doubles an area. */
import type { FindingKind } from '../../shared/core/geometry/boundary-finding.ts';
import { findOverlaps, type Overlap, type OverlapField } from '../../shared/core/geometry/overlap.ts';
import type { SquareMetres } from '../../shared/units/quantity.ts';
import { geometryOf } from './geometry-of.ts';
import type { JudgedRecord } from './judge-record.ts';
import type { FileWarning, RawPolygon } from './layer.ts';

/** Two records, by number, that share ground. */
export type SharedGround = {
	readonly one: number;
	readonly other: number;
	readonly m2: SquareMetres;
	/** They are one boundary twice. */
	readonly same: boolean;
};

export type GroundWatch = {
	readonly take: (record: JudgedRecord) => void;
	readonly compare: () => { readonly overlaps: readonly SharedGround[]; readonly warnings: readonly FileWarning[] };
};

const meetingKinds: ReadonlySet<FindingKind> = new Set(['self-crossing', 'self-touching', 'rings overlap']);

/** Above this many the reader would hold too much, and where all lie over each other it would run out of time. */
const MOST_COMPARED = 20_000;

/** Collects records as they are read, then finds equal boundaries and shared ground. */
export function watchGround(): GroundWatch {
	const fields: OverlapField[] = [];
	let seen = 0;
	return {
		take: ({ record, polygons, geometry, findings }) => {
			if (!geometry) return;
			seen++;
			const simple = !findings.some(({ kind }) => meetingKinds.has(kind));
			if (seen <= MOST_COMPARED) fields.push(fieldOf(String(record), polygons, simple));
			else fields.length = 0;
		},
		compare: () => {
			if (seen <= MOST_COMPARED) return { overlaps: findOverlaps(fields).map(byNumber), warnings: [] };
			const message = `The file has ${seen} boundaries; above ${MOST_COMPARED} they are not compared for shared ground.`;
			return { overlaps: [], warnings: [{ code: 'records.notCompared', message }] };
		},
	};
}

/** Its geometry is made of the packed rings each time it is looked at: kept, it would be half a million small lists. */
function fieldOf(id: string, polygons: readonly RawPolygon[], simple: boolean): OverlapField {
	return {
		id,
		simple,
		get geometry() {
			return geometryOf(polygons);
		},
	};
}

function byNumber({ one, other, m2, same }: Overlap): SharedGround {
	return { one: Number(one), other: Number(other), m2, same };
}
