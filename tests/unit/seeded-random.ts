/** Random numbers in [0, 1) that are the same on every run: mulberry32, a public-domain generator (from memory). */
export function seededRandom(seed: number): () => number {
	let state = seed >>> 0;
	return () => {
		state = (state + 0x6d2b79f5) >>> 0;
		let bits = Math.imul(state ^ (state >>> 15), state | 1);
		bits ^= bits + Math.imul(bits ^ (bits >>> 7), bits | 61);
		return ((bits ^ (bits >>> 14)) >>> 0) / 4_294_967_296;
	};
}
