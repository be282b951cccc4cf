/** Boundary files as the importing procedure sees them: fields in WGS 84 with what the file says about each. */
import type { Result } from '../../shared/basics/result.ts';
import type { BoundaryFinding } from '../../shared/core/geometry/boundary-finding.ts';
import type { Measured } from '../../shared/core/geometry/polygon-area.ts';
import { startForked } from '../reader/forked-process.ts';
import type { StartProcess } from '../reader/reader-process.ts';
import { type ReaderLimits, readerLimits, startReader } from '../reader/start-reader.ts';
import type { BoundaryText } from './boundary-text.ts';
import type { JudgedRepair } from './judge-record.ts';
import type { Attribute, AttributeValue, FileWarning } from './layer.ts';
import type { SharedGround } from './shared-ground.ts';
import type { LettersRead } from './text-encoding.ts';

/** What the user said where the file does not speak for itself. */
export type ReadingOptions = {
	readonly layer?: string | undefined;
	/** `EPSG:25832`; wins over what the file says. */
	readonly crs?: string | undefined;
	readonly encoding?: string | undefined;
	/** The two coordinates of each point stand in the wrong order in the file. */
	readonly exchangeCoordinates?: boolean | undefined;
	/** Records whose repaired outline is wanted, not only what the repair does and its area; left out, of all. */
	readonly outlines?: readonly number[] | undefined;
};

/** Where the middle of a file's fields lies. Degrees, WGS 84. */
export type Middle = {
	readonly lon: number;
	readonly lat: number;
	/** Or near it. */
	readonly isOnLand: boolean;
	/** Within the area that the reference system is made for. */
	readonly isInArea: boolean;
};

export type FileSystemOfReference = {
	readonly name: string;
	readonly epsg?: number;
	readonly datum: string;
	/** The published shift to WGS 84 that was used, by its EPSG name; left out where none is needed. */
	readonly shiftUsed?: string;
	/** Published accuracy of that shift, metres. */
	readonly residualM?: number;
};

export type BoundaryRecord = {
	/** Counted from 1 in the order of the file. */
	readonly record: number;
	/** WGS 84 longitude and latitude; null where the record was refused. */
	readonly boundary: BoundaryText | null;
	/** Without a prototype: a column may be called `__proto__`. */
	readonly properties: Readonly<Record<string, AttributeValue>>;
	/** Area, perimeter and standard error on the ellipsoid, as `measure` gives them; left out where the record was refused. */
	readonly measured?: Measured;
	/** What is odd about the boundary, as `boundaryFindings` gives it. */
	readonly findings: readonly BoundaryFinding[];
	/** What could safely be put right; null where nothing is odd. Its outline is left out where it was not asked for. */
	readonly repair: JudgedRepair | null;
	/** Area in the plane of the file's own projection; left out where its coordinates are degrees. */
	readonly planarAreaM2?: number;
	/** Why the record has no usable boundary. */
	readonly refused?: string;
};

export type SampledAttribute = Attribute & { readonly samples: readonly (string | number)[] };

export type BoundaryFile = {
	readonly file: string;
	readonly layer: string;
	readonly crs: FileSystemOfReference;
	readonly encoding: string;
	/** Where only the bytes speak for the encoding: how the letters read in each that is possible, the likeliest first. */
	readonly readings: readonly LettersRead[];
	readonly attributes: readonly SampledAttribute[];
	readonly records: readonly BoundaryRecord[];
	readonly warnings: readonly FileWarning[];
	/** Equal boundaries and shared ground within the file. */
	readonly overlaps: readonly SharedGround[];
	/** Planar against true area over the whole file, parts per million; left out where the coordinates are degrees. */
	readonly gridScalePpm?: number;
	readonly areDegrees: boolean;
	/** Null where the coordinates mean no place. */
	readonly middle: Middle | null;
	/** With the two coordinates of each point the other way round than they were read. */
	readonly middleExchanged: Middle | null;
};

export type ReadingHost = { readonly startProcess?: StartProcess; readonly limits?: ReaderLimits };

/**
 * Reads a file of field boundaries in a process of its own, which is ended when it takes too long or too much memory.
 * Understands shapefiles (loose or zipped), GeoJSON, KML, KMZ, GeoPackage and ISO 11783-10 task data; a folder is searched
 * for the one boundary file in it. Nothing is written. What a person must decide comes back as a refusal with
 * `details.choices`: `file.layerUnclear` (what each layer holds), `file.crsUnknown` (reference systems that would put the fields somewhere
 * sensible). Records without a usable boundary are kept, with the reason in `refused`.
 */
export function readBoundaryFile(
	path: string,
	options: ReadingOptions = {},
	{ startProcess = startForked, limits = readerLimits }: ReadingHost = {},
): Promise<Result<BoundaryFile>> {
	return startReader({ path, options }, startProcess, limits);
}
