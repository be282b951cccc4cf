/** What passes between the program and its reader. Geometry travels packed, in batches, so that neither side stands still. */
import type { Problem } from '../../shared/basics/problem.ts';
import type { BoundaryFinding } from '../../shared/core/geometry/boundary-finding.ts';
import type { Measured } from '../../shared/core/geometry/polygon-area.ts';
import type { BoundaryFile, ReadingOptions } from '../files/boundary-file.ts';
import type { PackedRings } from '../files/boundary-text.ts';
import type { JudgedRepair } from '../files/judge-record.ts';
import type { AttributeValue } from '../files/layer.ts';

export type ReadingJob = { readonly path: string; readonly options: ReadingOptions };
export type TableJob = { readonly tablePath: string };

export type PackedRecord = PackedRings & {
	readonly record: number;
	readonly values: readonly AttributeValue[];
	readonly planarAreaM2: number | null;
	readonly measured: Measured | null;
	readonly findings: readonly BoundaryFinding[];
	readonly refused: string | null;
	readonly repair: JudgedRepair | null;
};

export type ReaderMessage =
	| { readonly kind: 'records'; readonly records: readonly PackedRecord[] }
	| { readonly kind: 'table'; readonly rows: readonly (readonly string[])[] }
	| { readonly kind: 'done'; readonly head: Omit<BoundaryFile, 'records'> }
	| { readonly kind: 'refused'; readonly problem: Problem };

/** Sent back for each batch: the reader waits for it. */
export const NEXT = 'next';
