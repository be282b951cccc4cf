/** The JTS Topology Suite (in its JavaScript translation, jsts), geometry that is not the program's own. It ships no types. */
export type JtsGeometry = { getArea(): number };
export type Overlay = { new (one: JtsGeometry, other: JtsGeometry): unknown } & {
	intersection(one: JtsGeometry, other: JtsGeometry): JtsGeometry;
	difference(one: JtsGeometry, other: JtsGeometry): JtsGeometry;
};
export type Buffer = { bufferOp(geometry: JtsGeometry, distance: number, quadrantSegments: number): JtsGeometry };
export type Reader = new () => { read(geometry: object): JtsGeometry };

/** One class, by its path: `io/GeoJSONReader`. */
export async function jts<Class>(path: string): Promise<Class> {
	const loaded: { default: Class } = await import(`jsts/org/locationtech/jts/${path}.js`);
	return loaded.default;
}
