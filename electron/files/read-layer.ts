/** Reads one layer from end to end, inside the reader process: finds it, settles its reference system, places its records. */
import { basename } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { describedSystem } from '../../shared/core/geodesy/described-system.ts';
import { type ReferenceSystem, systemFromCode } from '../../shared/core/geodesy/reference-system.ts';
import type { PackedRecord, ReaderMessage, ReadingJob } from '../reader/messages.ts';
import { crsChoices } from './crs-choices.ts';
import { type FoundLayer, findLayers } from './find-layers.ts';
import { epsgOf } from './geojson.ts';
import type { AttributeValue, FileWarning, RawLayer } from './layer.ts';
import { importLimits } from './limits.ts';
import { type Extent, extentOf, type PlacedRecord, placementFrom } from './place-records.ts';
import { encodingNamed } from './text-encoding.ts';

const BATCH = 200;
const SAMPLES = 5;

/** Reads and reports in batches; the last message is `done` or `refused`. `say` is answered when the batch has been taken. */
export async function readLayer(
	{ path, options }: ReadingJob,
	say: (message: ReaderMessage) => Promise<void>,
): Promise<void> {
	const file = basename(path);
	const { layer: wanted, encoding, crs } = options;
	if (encoding !== undefined && !encodingNamed(encoding))
		return refused(refuse('input.invalid', { path: 'encoding', why: `${encoding} is not an encoding` }));
	const found = findLayers(path, options);
	if (!found.ok) return refused(found);
	const chosen = chooseLayer(file, found.value.layers, wanted);
	if (!chosen.ok) return refused(chosen);
	const opened = chosen.value.open();
	if (!opened.ok) return refused(opened);
	const layer = opened.value;
	const extent = extentOf(layer.records());
	const system = settleSystem(file, layer, extent, crs);
	if (!system.ok) return refused(system);
	const placement = placementFrom(system.value, extent ?? { minX: 0, minY: 0, maxX: 0, maxY: 0 });
	const warnings: FileWarning[] = [...found.value.warnings, ...layer.warnings, ...placement.warnings];
	const samples = layer.attributes.map(() => new Set<string | number>());
	let vertices = 0;
	let batch: PackedRecord[] = [];
	for (const raw of layer.records()) {
		const placed = placement.place(raw);
		warnings.push(...(placed.warnings ?? []));
		for (const [index, value] of raw.values.entries()) takeSample(samples[index], value);
		const record = pack(placed);
		vertices += record.points.length / 2;
		if (vertices > importLimits.vertices)
			return refused(
				refuse('file.tooBig', { file, why: `its boundaries have more than ${importLimits.vertices} points` }),
			);
		batch.push(record);
		if (batch.length < BATCH) continue;
		await say({ kind: 'records', records: batch });
		batch = [];
	}
	if (batch.length > 0) await say({ kind: 'records', records: batch });
	const attributes = layer.attributes.map((attribute, index) => ({
		...attribute,
		samples: [...(samples[index] ?? [])],
	}));
	void say({
		kind: 'done',
		head: { file, layer: layer.name, crs: placement.crs, encoding: layer.encoding, attributes, warnings },
	});

	function refused(refusal: Result<unknown>): void {
		if (!refusal.ok) void say({ kind: 'refused', problem: refusal.problem });
	}
}

function chooseLayer(file: string, layers: readonly FoundLayer[], wanted: string | undefined): Result<FoundLayer> {
	const named =
		layers.find(({ name }) => name === wanted) ??
		layers.find(({ name }) => name.toLowerCase() === wanted?.toLowerCase());
	const [only] = layers;
	const chosen = wanted === undefined && layers.length === 1 ? only : named;
	return chosen ? ok(chosen) : refuse('file.layerUnclear', { file, choices: layers.map(({ name }) => name) });
}

/** The user's word first, then the file's; never a guess. */
function settleSystem(
	file: string,
	layer: RawLayer,
	extent: Extent | null,
	asked: string | undefined,
): Result<ReferenceSystem> {
	if (asked !== undefined) {
		const epsg = epsgOf(asked);
		const system = epsg === null ? null : systemFromCode(epsg);
		return system
			? ok(system)
			: refuse('file.crsUnsupported', { file, crs: asked, why: 'the program does not know that code' });
	}
	const unknown = (why: string) =>
		refuse('file.crsUnknown', { file, why, choices: crsChoices(layer.records(), extent) });
	const { clue } = layer;
	if (clue.kind === 'none') return unknown(clue.why);
	const listed = clue.kind === 'code' ? systemFromCode(clue.epsg) : null;
	const text = clue.kind === 'text' ? clue.text : clue.text;
	const described = listed
		? { kind: 'system' as const, system: listed }
		: text === undefined
			? null
			: describedSystem(text);
	if (!described)
		return refuse('file.crsUnsupported', {
			file,
			crs: clue.kind === 'code' ? `EPSG:${clue.epsg}` : '?',
			why: 'the program does not know that code',
		});
	if (described.kind === 'unreadable') return unknown(described.why);
	if (described.kind === 'unsupported')
		return refuse('file.crsUnsupported', { file, crs: described.name, why: described.why });
	if (described.system.metresPerUnit === null && extent && areMetres(extent)) {
		return unknown('it says degrees, but its coordinates are metres or feet');
	}
	return ok(described.system);
}

/** The middle of the coordinates lies beyond any longitude or latitude. */
function areMetres({ minX, minY, maxX, maxY }: Extent): boolean {
	return Math.abs(minX + maxX) / 2 > 400 || Math.abs(minY + maxY) / 2 > 400;
}

function pack({ record, polygons, values, planarAreaM2, refused }: PlacedRecord): PackedRecord {
	const rings = polygons.map((polygon) => polygon.map((ring) => ring.length / 2));
	const points = new Float64Array(rings.flat().reduce((sum, count) => sum + count * 2, 0));
	let at = 0;
	for (const ring of polygons.flat()) {
		points.set(ring, at);
		at += ring.length;
	}
	return { record, rings, points, values, planarAreaM2, refused };
}

function takeSample(samples: Set<string | number> | undefined, value: AttributeValue): void {
	if (samples && samples.size < SAMPLES && value !== null) samples.add(value);
}
