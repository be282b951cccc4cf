/** Box around every point of a GeoJSON coordinate tree, in degrees. */
export function boundingBox(coordinates: readonly unknown[]): {
	west: number;
	south: number;
	east: number;
	north: number;
} {
	const box = { west: Infinity, south: Infinity, east: -Infinity, north: -Infinity };
	const visit = (node: readonly unknown[]): void => {
		const [first, second] = node;
		if (typeof first === 'number' && typeof second === 'number') {
			box.west = Math.min(box.west, first);
			box.east = Math.max(box.east, first);
			box.south = Math.min(box.south, second);
			box.north = Math.max(box.north, second);
			return;
		}
		for (const inner of node) if (Array.isArray(inner)) visit(inner);
	};
	visit(coordinates);
	return box;
}
