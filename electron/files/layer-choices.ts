/** What a person sees of each layer before one is chosen: how many fields it holds and what stands beside them. */
import type { JsonValue } from '../../shared/basics/problem.ts';
import type { FoundLayer, RawLayer } from './layer.ts';

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
	return { ...counted(opened.value), columns: opened.value.attributes.map(({ name }) => name) };
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
