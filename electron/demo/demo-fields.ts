/** The fields of the demonstration farm: invented boundaries, laid out by arithmetic around an invented centre. */

export type DemoField = {
	readonly name: string;
	readonly code: string;
	readonly ring: readonly (readonly [lon: number, lat: number])[];
	/** Mapped area against the boundary: registers differ a little, and some a lot. */
	readonly mappedFactor: number;
	readonly crops: readonly [last: DemoCrop, now: DemoCrop];
	readonly ditchM: number | null;
	readonly obstacleHa: number | null;
};

/** `harvest`: month and day on which the finished season's crop came in. */
export type DemoCrop = { readonly crop: string; readonly eppo: string; readonly harvest: string };

const WHEAT: DemoCrop = { crop: 'Winter wheat', eppo: 'TRZAW', harvest: '08-12' };
const BARLEY: DemoCrop = { crop: 'Winter barley', eppo: 'HORVW', harvest: '07-18' };
const RAPE: DemoCrop = { crop: 'Winter oilseed rape', eppo: 'BRSNW', harvest: '07-27' };
const BEET: DemoCrop = { crop: 'Sugar beet', eppo: 'BEAVA', harvest: '10-06' };
const BEANS: DemoCrop = { crop: 'Spring beans', eppo: 'VICFX', harvest: '08-29' };

const CENTRE = [1.0612, 52.4387] as const;
const COLUMNS = 5;
const CELL_M = 395;
const GAP_M = 7;
const METRES_PER_DEGREE = 111_320;

const names = [
	'Long Piece',
	'Mill Bank',
	'Rookery',
	'Thornmere Hill',
	'Pond Field',
	'Far Lays',
	'Near Lays',
	'Church Close',
	'Gravel Pit Field',
	'Twelve Acre',
	'Hempland',
	'Brook Meadow',
	'Osier Carr',
	'Barn Field',
	'Windmill Piece',
	'Lower Drift',
	'Upper Drift',
	'Stackyard',
	'Sandpit Hole',
	'Ash Spinney Field',
	'Parsonage',
	'Great Heath',
	'Little Heath',
	'Boundary Field',
	'Gull Field',
	'Kiln Close',
	'Poplar Row',
	'Home Ground',
] as const;

const rotation: readonly (readonly [DemoCrop, DemoCrop])[] = [
	[RAPE, WHEAT],
	[WHEAT, BARLEY],
	[BEANS, WHEAT],
	[WHEAT, BEET],
	[BEET, WHEAT],
	[BARLEY, RAPE],
	[WHEAT, BEANS],
];

/** The same sequence on every computer: a linear congruential generator (Numerical Recipes, 1992). */
function sequence(seed: number): () => number {
	let state = seed >>> 0;
	return () => {
		state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
		return state / 2 ** 32;
	};
}

/** Twenty-eight fields in a patchwork with hedge gaps, uneven corners and curved edges. */
export function demoFields(): readonly DemoField[] {
	const next = sequence(20_270_415);
	const rows = Math.ceil(names.length / COLUMNS);
	const corners = Array.from({ length: rows + 1 }, () =>
		Array.from({ length: COLUMNS + 1 }, () => [(next() - 0.5) * 0.55 * CELL_M, (next() - 0.5) * 0.5 * CELL_M] as const),
	);
	const at = (row: number, column: number): [number, number] => {
		const [east, north] = corners[row]?.[column] ?? [0, 0];
		return [
			(column - COLUMNS / 2) * CELL_M + east + 40 * Math.sin(row * 1.7),
			(row - rows / 2) * CELL_M * 0.86 + north,
		];
	};
	return names.map((name, index) => {
		const row = Math.floor(index / COLUMNS);
		const column = index % COLUMNS;
		const square = [at(row, column), at(row, column + 1), at(row + 1, column + 1), at(row + 1, column)];
		const ring = wavy(inset(square, GAP_M), next);
		const spread = next();
		return {
			name,
			code: `TM${String(index + 1).padStart(2, '0')}`,
			ring: ring.map(toDegrees),
			mappedFactor: index % 9 === 4 ? 1.028 : 0.9955 + 0.009 * spread,
			crops: rotation[(index * 3 + row) % rotation.length] ?? [WHEAT, BARLEY],
			ditchM: index % 6 === 1 ? 5 : null,
			obstacleHa: name === 'Pond Field' ? 0.18 : name === 'Windmill Piece' ? 0.03 : null,
		};
	});
}

type Point = [east: number, north: number];

function inset(points: readonly Point[], metres: number): Point[] {
	const centre = points.reduce<Point>(
		(sum, [x, y]) => [sum[0] + x / points.length, sum[1] + y / points.length],
		[0, 0],
	);
	return points.map(([x, y]) => {
		const [dx, dy] = [x - centre[0], y - centre[1]];
		const shrink = 1 - metres / Math.hypot(dx, dy);
		return [centre[0] + dx * shrink, centre[1] + dy * shrink];
	});
}

/** Edges that bow a little, with a point about every fifty metres, as a receiver would have logged them. */
function wavy(points: readonly Point[], next: () => number): Point[] {
	const ring: Point[] = [];
	for (const [index, from] of points.entries()) {
		const to = points[(index + 1) % points.length] ?? from;
		const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
		const pieces = Math.max(3, Math.round(length / 50));
		const bow = (next() - 0.5) * 0.05 * length;
		for (let piece = 0; piece < pieces; piece++) {
			const along = piece / pieces;
			const out = bow * Math.sin(Math.PI * along) + (piece === 0 ? 0 : (next() - 0.5) * 1.6);
			ring.push([
				from[0] + (to[0] - from[0]) * along - ((to[1] - from[1]) / length) * out,
				from[1] + (to[1] - from[1]) * along + ((to[0] - from[0]) / length) * out,
			]);
		}
	}
	return ring;
}

function toDegrees([east, north]: Point): [number, number] {
	const lat = CENTRE[1] + north / METRES_PER_DEGREE;
	const lon = CENTRE[0] + east / (METRES_PER_DEGREE * Math.cos((CENTRE[1] * Math.PI) / 180));
	return [Number(lon.toFixed(7)), Number(lat.toFixed(7))];
}
