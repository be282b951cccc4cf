/** Reads one layer from end to end, inside the reader process: finds it, settles its reference system, places its records. */
import { statSync } from 'node:fs';
import { basename } from 'node:path';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { PackedRecord, ReaderMessage, ReadingJob } from '../reader/messages.ts';
import type { ReadingOptions } from './boundary-file.ts';
import { exchangeAxes } from './exchange-axes.ts';
import { findLayers, pickInFolder } from './find-layers.ts';
import { type JudgedRecord, judgeRecord } from './judge-record.ts';
import type { AttributeValue, FileWarning, FoundLayer, RawLayer } from './layer.ts';
import { layerChoices, onlyWithFields } from './layer-choices.ts';
import { leftOutReason } from './left-out.ts';
import { importLimits } from './limits.ts';
import { extentOf, type Placement, placementFrom } from './place-records.ts';
import { settleSystem } from './settle-system.ts';
import { watchGround } from './shared-ground.ts';
import { encodingNamed } from './text-encoding.ts';

type Say = (message: ReaderMessage) => Promise<void>;
type Prepared = {
	readonly file: string;
	readonly layer: RawLayer;
	readonly placement: Placement;
	readonly warnings: readonly FileWarning[];
};

const BATCH = 500;
const SAMPLES = 5;
/** Enough to see what is the matter; the records themselves all carry their reasons. */
const MOST_WARNINGS_PER_CODE = 100;

/** Reads and reports in batches; the last message is `done` or `refused`. `say` is answered when the batch has been taken. */
export async function readLayer(job: ReadingJob, say: Say): Promise<void> {
	const prepared = prepare(job);
	const result = prepared.ok ? await sendRecords(prepared.value, job.options.outlines, say) : prepared;
	if (!result.ok) void say({ kind: 'refused', problem: result.problem });
}

/** Opens the layer and settles what its coordinates mean; nothing is measured before that. */
function prepare({ path: given, options }: ReadingJob): Result<Prepared> {
	const { encoding, crs } = options;
	if (encoding !== undefined && !encodingNamed(encoding)) {
		return refuse('input.invalid', { path: 'encoding', why: `${encoding} is not an encoding` });
	}
	const isFolder = statSync(given, { throwIfNoEntry: false })?.isDirectory() ?? false;
	const picked = isFolder ? pickInFolder(given, options) : ok({ path: given, named: false });
	if (!picked.ok) return picked;
	const { path, named } = picked.value;
	const file = basename(path);
	const found = findLayers(path, options);
	if (!found.ok) return found;
	const chosen = chooseLayer(file, found.value.layers, named ? undefined : options.layer);
	if (!chosen.ok) return chosen;
	const opened = chosen.value.layer.open();
	if (!opened.ok) return opened;
	const layer = options.exchangeCoordinates ? exchangeAxes(opened.value) : opened.value;
	const extent = extentOf(layer);
	const system = settleSystem(file, layer, extent, crs);
	if (!system.ok) return system;
	const placement = placementFrom(system.value, extent ?? { minX: 0, minY: 0, maxX: 0, maxY: 0 });
	return ok({
		file,
		layer,
		placement,
		warnings: [...found.value.warnings, ...chosen.value.told, ...layer.warnings, ...placement.warnings],
	});
}

async function sendRecords(
	{ file, layer, placement, warnings: early }: Prepared,
	outlines: ReadingOptions['outlines'],
	say: Say,
): Promise<Result<null>> {
	const wanted = outlines && new Set(outlines);
	const warnings = [...early];
	const samples = layer.attributes.map(() => new Set<string | number>());
	const ground = watchGround();
	const total = { planarM2: 0, measuredM2: 0, vertices: 0 };
	let batch: PackedRecord[] = [];
	let taken = Promise.resolve();
	const noField = leftOutReason(layer.attributes);
	for (const raw of layer.records()) {
		const leftOut = noField(raw.values);
		const judged = judgeRecord(placement.place({ ...raw, refused: leftOut ?? raw.refused }));
		warnings.push(...(judged.warnings ?? []));
		if (leftOut === null) for (const [index, value] of raw.values.entries()) takeSample(samples[index], value);
		const { repair } = judged;
		const isTold = !repair || !wanted || wanted.has(raw.record);
		const record = pack(isTold ? judged : { ...judged, repair: { ...repair, geometry: null } });
		ground.take(record);
		total.vertices += record.points.length / 2;
		if (record.planarAreaM2 !== null && record.measured) {
			total.planarM2 += record.planarAreaM2;
			total.measuredM2 += record.measured.areaHa * 10_000;
		}
		if (total.vertices > importLimits.vertices) {
			return refuse('file.tooBig', { file, why: `its boundaries have more than ${importLimits.vertices} points` });
		}
		batch.push(record);
		if (batch.length < BATCH) continue;
		// One batch is on its way while the next is read.
		await taken;
		taken = say({ kind: 'records', records: batch });
		batch = [];
	}
	await taken;
	if (batch.length > 0) await say({ kind: 'records', records: batch });
	const { overlaps, warnings: late } = await ground.compare();
	warnings.push(...late);
	const attributes = layer.attributes.map((attribute, index) => ({
		...attribute,
		samples: [...(samples[index] ?? [])],
	}));
	const gridScale = total.measuredM2 > 0 ? { gridScalePpm: (total.planarM2 / total.measuredM2 - 1) * 1e6 } : {};
	const { name, encoding } = layer;
	const head = {
		file,
		layer: name,
		crs: placement.crs,
		encoding,
		readings: layer.readings ?? [],
		attributes,
		warnings: shortened(warnings),
		overlaps,
		...gridScale,
		areDegrees: placement.areDegrees,
		middle: placement.middle,
		middleExchanged: placement.middleExchanged,
	};
	void say({ kind: 'done', head });
	return ok(null);
}

function chooseLayer(
	file: string,
	layers: readonly FoundLayer[],
	wanted: string | undefined,
): Result<{ layer: FoundLayer; told: readonly FileWarning[] }> {
	const named =
		layers.find(({ name }) => name === wanted) ??
		layers.find(({ name }) => name.toLowerCase() === wanted?.toLowerCase());
	const [only] = layers;
	const layer = wanted === undefined && layers.length === 1 ? only : named;
	const chosen = layer ? { layer, told: [] } : wanted === undefined ? onlyWithFields(layers) : null;
	return chosen ? ok(chosen) : refuse('file.layerUnclear', { file, choices: layerChoices(layers) });
}

function pack({
	record,
	polygons,
	values,
	planarAreaM2,
	measured,
	findings,
	refused,
	repair,
}: JudgedRecord): PackedRecord {
	const rings = polygons.map((polygon) => polygon.map((ring) => ring.length / 2));
	const points = new Float64Array(rings.flat().reduce((sum, count) => sum + count * 2, 0));
	let at = 0;
	for (const ring of polygons.flat()) {
		points.set(ring, at);
		at += ring.length;
	}
	return { record, rings, points, values, planarAreaM2, measured, findings, refused, repair };
}

function takeSample(samples: Set<string | number> | undefined, value: AttributeValue): void {
	if (samples && samples.size < SAMPLES && value !== null) samples.add(value);
}

function shortened(warnings: readonly FileWarning[]): FileWarning[] {
	const counts = new Map<string, number>();
	const kept: FileWarning[] = [];
	for (const warning of warnings) {
		const count = (counts.get(warning.code) ?? 0) + 1;
		counts.set(warning.code, count);
		if (count <= MOST_WARNINGS_PER_CODE) kept.push(warning);
	}
	const rest = [...counts].filter(([, count]) => count > MOST_WARNINGS_PER_CODE);
	return [
		...kept,
		...rest.map(([code, count]) => ({
			code,
			message: `There are ${count - MOST_WARNINGS_PER_CODE} more warnings of this kind.`,
		})),
	];
}
