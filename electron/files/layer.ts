/** A layer of boundaries as it stands in a file: coordinates in the file's own reference system, nothing judged yet. */
import type { Result } from '../../shared/basics/result.ts';
import type { LettersRead } from './text-encoding.ts';

/** One ring as x, y, x, y …; closed or not, as the file has it. */
export type Ring = Float64Array;
/** Outer ring first, then its holes. */
export type RawPolygon = readonly Ring[];

export type AttributeValue = string | number | null;
export type AttributeKind = 'text' | 'number' | 'date';
export type Attribute = { readonly name: string; readonly kind: AttributeKind };

/** `values` stand in the order of the layer's attributes. `refused` says why a record has no usable boundary. */
export type RawRecord = {
	/** Counted from 1 in the order of the file. */
	readonly record: number;
	readonly polygons: readonly RawPolygon[];
	readonly values: readonly AttributeValue[];
	readonly refused: string | null;
	readonly warnings?: readonly FileWarning[];
	/** The format leaves the closing point out: an open ring is no trouble. */
	readonly closesItself?: true;
};

/** What a file says of its reference system. */
export type SystemClue =
	| { readonly kind: 'text'; readonly text: string }
	| { readonly kind: 'code'; readonly epsg: number; readonly text?: string }
	| { readonly kind: 'none'; readonly why: string };

export type FileWarning = { readonly code: string; readonly message: string; readonly record?: number };

export type RawLayer = {
	readonly name: string;
	readonly clue: SystemClue;
	readonly encoding: string;
	/** Where only the bytes speak for the encoding: how they read in each that is possible. */
	readonly readings?: readonly LettersRead[];
	readonly attributes: readonly Attribute[];
	readonly warnings: readonly FileWarning[];
	/** The rings of each record without their order, where they can be had faster than the records. */
	readonly outlines?: () => Iterable<readonly Ring[]>;
	/** Reads from the beginning at every call. */
	readonly records: () => Iterable<RawRecord>;
};

/** A layer by its name, opened when it is chosen. */
export type FoundLayer = { readonly name: string; readonly open: () => Result<RawLayer> };

export const wgs84: SystemClue = { kind: 'code', epsg: 4326 };
