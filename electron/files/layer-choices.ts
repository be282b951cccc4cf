/** What a person sees of each layer before one is chosen: how many fields it holds and what stands beside them. */
import type { JsonValue } from '../../shared/basics/problem.ts';
import type { FileWarning, FoundLayer, RawLayer } from './layer.ts';
import { leftOutReason } from './left-out.ts';

/** More are listed by their names alone, and more records are not counted: the question must come at once. */
const MOST_OPENED = 24;
const MOST_COUNTED = 20_000;

/**
 * `{layer, records, areas, more, columns}` for each layer in turn; `why` in place of the figures where it holds no areas or
 * cannot be read.
 */
export function layerChoices(layers: readonly FoundLayer[]): JsonValue[] {
	return layers.map((found, index) => ({ layer: found.name, ...(index < MOST_OPENED ? aboutLayer(found) : {}) }));
}

function aboutLayer(found: FoundLayer): { readonly [key: string]: JsonValue } {
	const opened = found.open();
	if (!opened.ok) return { why: String(opened.problem.details['why'] ?? 'it cannot be read') };
	if (holdsOnlyLeftOut(opened.value)) return { why: LEFT_OUT };
	return { ...counted(opened.value), columns: opened.value.attributes.map(({ name }) => name) };
}

/**
 * The one layer that can be meant: all others hold no fields, or are no boundaries at all. Null where two may be, or where one
 * cannot be read: then a person is asked.
 */
export function onlyWithFields(layers: readonly FoundLayer[]): { layer: FoundLayer; told: FileWarning[] } | null {
	if (layers.length > MOST_OPENED) return null;
	const passedOver: string[] = [];
	const fitting: FoundLayer[] = [];
	for (const found of layers) {
		const opened = found.open();
		if (opened.ok && !holdsOnlyLeftOut(opened.value)) fitting.push(found);
		else if (opened.ok) passedOver.push(`${found.name} (${LEFT_OUT})`);
		else if (opened.problem.code === 'file.noFields' || opened.problem.code === 'file.notBoundaries')
			passedOver.push(`${found.name} (${opened.problem.details['why']})`);
		else return null;
	}
	const [layer, ...more] = fitting;
	if (!layer || more.length > 0) return null;
	const message = `The layer ${layer.name} was read; not ${passedOver.join(', ')}.`;
	return { layer, told: [{ code: 'layer.only', message }] };
}

const LEFT_OUT = 'it holds strips and obstacles, no fields';

function holdsOnlyLeftOut(layer: RawLayer): boolean {
	const reason = leftOutReason(layer.attributes);
	let records = 0;
	for (const { values } of layer.records()) {
		if (reason(values) === null) return false;
		records++;
	}
	return records > 0;
}

function counted(layer: RawLayer) {
	let [records, areas] = [0, 0];
	for (const { refused } of layer.records()) {
		if (records === MOST_COUNTED) return { records, areas, more: true };
		records++;
		if (refused === null) areas++;
	}
	return { records, areas, more: false };
}
