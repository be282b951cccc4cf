import { shortWay } from './unrolled-ring.ts';

/** Degrees. Middle and half width in longitude, so that a box may lie across 180°. */
export type Box = {
	readonly south: number;
	readonly north: number;
	readonly middle: number;
	readonly halfWidth: number;
};

/** What lies where; `meet` gives what may meet a box, each once: those of its squares. */
export type BoxIndex<What> = {
	readonly add: (box: Box, what: What) => void;
	readonly meet: (box: Box) => Iterable<What>;
};

/** Side of a square, degrees: about a kilometre, some fields wide. */
const SQUARE = 0.01;
const ROUND_THE_EARTH = 360 / SQUARE;
/** A box over more squares is not laid into them, it is held against all. */
const MOST_SQUARES = 64;

type Entry<What> = { readonly what: What; lastAsked: number };

/** Boxes by the squares of the earth they touch, so that each is held only against those near it. */
export function boxIndex<What>(): BoxIndex<What> {
	const squares = new Map<number, Entry<What>[]>();
	const wide: Entry<What>[] = [];
	const all: Entry<What>[] = [];
	let asked = 0;
	return {
		add: (box, what) => {
			const entry = { what, lastAsked: 0 };
			all.push(entry);
			const touched = squaresOf(box);
			if (!touched) return void wide.push(entry);
			for (const square of touched) {
				const there = squares.get(square);
				if (there) there.push(entry);
				else squares.set(square, [entry]);
			}
		},
		meet: (box) => {
			const touched = squaresOf(box);
			if (!touched) return all.map(({ what }) => what);
			asked++;
			const near = wide.map(({ what }) => what);
			for (const square of touched) {
				for (const entry of squares.get(square) ?? []) {
					if (entry.lastAsked === asked) continue;
					entry.lastAsked = asked;
					near.push(entry.what);
				}
			}
			return near;
		},
	};
}

/** Numbers of the squares a box touches; null where they are too many. */
function squaresOf({ south, north, middle, halfWidth }: Box): number[] | null {
	const [bottom, top] = [Math.floor(south / SQUARE), Math.floor(north / SQUARE)];
	const place = shortWay(middle);
	const [left, right] = [Math.floor((place - halfWidth) / SQUARE), Math.floor((place + halfWidth) / SQUARE)];
	if ((top - bottom + 1) * (right - left + 1) > MOST_SQUARES) return null;
	const touched: number[] = [];
	for (let row = bottom; row <= top; row++) {
		for (let column = left; column <= right; column++) {
			const turned = ((column % ROUND_THE_EARTH) + ROUND_THE_EARTH) % ROUND_THE_EARTH;
			touched.push(row * ROUND_THE_EARTH + turned);
		}
	}
	return touched;
}
