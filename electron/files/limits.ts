/** How big an imported file may be. Everything a stranger's file can make the program do is bounded here. */

const MIB = 1024 * 1024;

/** Common practice for untrusted archives, far above what a farm's fields need: 200 000 boundaries, 5 million points. */
export const importLimits = {
	archiveBytes: 64 * MIB,
	archiveEntries: 500,
	nameBytes: 255,
	/** One file inside an archive, or one loose file. */
	entryBytes: 128 * MIB,
	totalBytes: 256 * MIB,
	/** Real geometry compresses by 1.2; a bomb by 1000. Attribute tables are often mostly blank and are not held to it. */
	geometryRatio: 200,
	records: 200_000,
	vertices: 5_000_000,
	ringsPerRecord: 50_000,
	attributes: 512,
	xmlDepth: 64,
	seconds: 30,
	memoryBytes: 512 * MIB,
} as const;

/** The largest coordinate that can mean something on Earth: 1e9 of any unit; files mark "no data" with -1e39. */
export const LARGEST_COORDINATE = 1e9;

/** "12.3 MB", for sentences. */
export function inMegabytes(bytes: number): string {
	return `${(bytes / MIB).toFixed(1)} MB`;
}
