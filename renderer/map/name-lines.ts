/** A name broken at the space nearest its middle; nothing where there is none. */
export function inTwo(name: string): readonly string[] {
	const spaces = [...name.matchAll(/ /g)].map(({ index }) => index);
	const at = spaces.sort((a, b) => Math.abs(a - name.length / 2) - Math.abs(b - name.length / 2))[0];
	return at === undefined ? [] : [name.slice(0, at), name.slice(at + 1)];
}
