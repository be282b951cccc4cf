import { currentBoundaries } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { ImportReport } from '../../shared/contract/fields-import.ts';
import { cutAway } from '../../shared/core/geometry/cut-away.ts';
import { DEFAULT_LEAST_OVERLAP_M2, findOverlaps, overlapM2 } from '../../shared/core/geometry/overlap.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { SLIVER_WIDTH_M } from '../../shared/core/geometry/repair-boundary.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import type { BoundaryFile } from '../files/boundary-file.ts';
import { readBoundaryText } from '../files/boundary-text.ts';
import type { Repair, Wanted, Warning } from './import-records.ts';
import { boundaryTextOf, type GoodRecord, type Match } from './match-register.ts';

type Geometry = ReturnType<typeof readBoundaryText>;
/** Ground a record shares with another record, or with a field of the register. */
type Shared = { readonly record: number; readonly other: string; readonly m2: number; readonly same: boolean };
type Neighbour = { readonly name: string; readonly geometry: Geometry; readonly areaM2: number };

export type Settled = {
	readonly good: readonly GoodRecord[];
	readonly warnings: readonly Warning[];
	readonly repairs: readonly Repair[];
	readonly left: ImportReport['left'];
};

/** Up to this share of the smaller field an overlap is a matter of digitising, not of who farms the ground. Common practice. */
const SMALL_SHARE = 0.05;

/** Records that are the boundary of an earlier one once more, or slivers; left out where that was chosen. */
export function leaveOut({ overlaps }: BoundaryFile, good: readonly GoodRecord[], wanted: Wanted): Settled {
	const byRecord = new Map(good.map((row) => [row.record, row]));
	const repairs = new Map<number, Repair>();
	const warnings: Warning[] = [];
	const offer = ({ record, name, measured }: GoodRecord, why: string): boolean => {
		const beforeM2 = toSquareMetres(measured.areaHa);
		const chosen = wanted(record, 'leave out');
		repairs.set(record, {
			record,
			name,
			repair: 'leave out',
			did: `leave out, as ${why}`,
			chosen,
			beforeM2,
			afterM2: 0,
		});
		return chosen;
	};
	for (const row of good) if (row.isSliver) offer(row, `it is less than ${SLIVER_WIDTH_M} m wide`);
	for (const { one, other } of overlaps.filter(({ same }) => same)) {
		const [first, second] = [byRecord.get(one), byRecord.get(other)];
		if (!first || !second || repairs.has(other)) continue;
		if (offer(second, `${called(first)} has the same boundary`)) continue;
		const message = `${called(first)} and ${called(second)} have the same boundary: the same ground is counted twice`;
		warnings.push({ code: 'field.duplicate', message, record: String(other) });
	}
	const kept = good.filter(({ record }) => !repairs.get(record)?.chosen);
	return { good: kept, repairs: [...repairs.values()], warnings, left: [] };
}

/**
 * Ground that records share with each other, or with fields of the register that the file does not replace. Where it is a
 * small part of the smaller one, it may be cut away from the record.
 */
export async function settleOverlaps(
	db: ReadDb,
	file: BoundaryFile,
	{ good, matches, wanted }: { good: readonly GoodRecord[]; matches: ReadonlyMap<number, Match>; wanted: Wanted },
): Promise<Settled> {
	const rows = new Map(good.map((row) => [row.record, row]));
	const register = await fieldsBeside(db, good, matches);
	const pairs = [...pairsInFile(file, rows), ...pairsWithRegister(good, register)];
	const neighbour = (key: string): Neighbour | null => {
		const row = rows.get(Number(key));
		if (!row) return register.get(key) ?? null;
		return { name: called(row), geometry: readBoundaryText(row.boundary), areaM2: toSquareMetres(row.measured.areaHa) };
	};
	const repairs: Repair[] = [];
	const [warnings, left]: [Warning[], ImportReport['left']] = [[], []];
	const told = new Set<string>();
	const byRecord = [...Map.groupBy(pairs, ({ record }) => record)].sort(([one], [other]) => one - other);
	// The chosen ones are cut first: what is cut away once is not offered a second time.
	for (const chosen of [true, false]) {
		for (const [record, shared] of byRecord) {
			const row = rows.get(record);
			if (!row || wanted(record, 'cut away') !== chosen) continue;
			const own = readBoundaryText(row.boundary);
			const areaM2 = toSquareMetres(row.measured.areaHa);
			const small: Neighbour[] = [];
			for (const { other, m2: found } of shared) {
				const beside = neighbour(other);
				if (!beside) continue;
				const m2 = repairs.some((it) => it.chosen) ? sharedNow(own, beside.geometry) : found;
				if (m2 < DEFAULT_LEAST_OVERLAP_M2) continue;
				const isSmall = m2 <= SMALL_SHARE * Math.min(areaM2, beside.areaM2);
				if (isSmall) small.push(beside);
				const pair = [String(record), other].sort().join(' ');
				if (told.has(pair) || (isSmall && chosen)) continue;
				told.add(pair);
				const says = `${called(row)} and ${beside.name} share ${Math.round(m2)} m² of ground`;
				warnings.push({ code: 'field.overlap', message: says, record: String(record) });
				const why = `${says}: more than ${100 * SMALL_SHARE} % of the smaller, so whose it is has to be known`;
				if (!isSmall) left.push({ record, name: row.name, why });
			}
			const repair = small.length > 0 ? cut(row, own, small) : null;
			if (!repair) continue;
			repairs.push({ ...repair.offer, chosen });
			if (chosen) rows.set(record, repair.row);
		}
	}
	return { good: good.map((row) => rows.get(row.record) ?? row), repairs, warnings, left };
}

function cut(row: GoodRecord, own: Geometry, others: readonly Neighbour[]) {
	const geometry = cutAway(
		own,
		others.map((it) => it.geometry),
	);
	const measured = geometry && measure({ geometry });
	if (!geometry || !measured?.ok) return null;
	const names = others.map(({ name }) => name).join(', ');
	const did = `overlap with ${names} cut away`;
	const beforeM2 = toSquareMetres(row.measured.areaHa);
	const afterM2 = toSquareMetres(measured.value.areaHa);
	const { record, name } = row;
	return {
		offer: { record, name, repair: 'cut away' as const, did, beforeM2, afterM2, geometry },
		row: {
			...row,
			boundary: boundaryTextOf(geometry),
			measured: measured.value,
			repaired: [...row.repaired, did],
			unrepairedM2: row.repaired.length > 0 ? row.unrepairedM2 : beforeM2,
		},
	};
}

/** Each pair from both sides: either record can be cut. Outlines that were repaired are compared anew. */
function pairsInFile({ overlaps }: BoundaryFile, rows: ReadonlyMap<number, GoodRecord>): Shared[] {
	const repaired = new Set([...rows.values()].filter((row) => row.repaired.length > 0).map(({ record }) => record));
	const known = overlaps.filter(({ one, other, same }) => !same && !repaired.has(one) && !repaired.has(other));
	const shapes =
		repaired.size === 0
			? []
			: [...rows.values()].map((row) => ({ id: String(row.record), geometry: readBoundaryText(row.boundary) }));
	const anew = findOverlaps(shapes, { among: new Set([...repaired].map(String)) });
	return [...known, ...anew].flatMap(({ one, other, m2, same }) => [
		{ record: Number(other), other: String(one), m2, same },
		{ record: Number(one), other: String(other), m2, same },
	]);
}

function pairsWithRegister(good: readonly GoodRecord[], register: ReadonlyMap<string, Neighbour>): Shared[] {
	if (register.size === 0) return [];
	const shapes = [
		...good.map((row) => ({ id: String(row.record), geometry: readBoundaryText(row.boundary) })),
		...[...register].map(([id, { geometry }]) => ({ id, geometry })),
	];
	return findOverlaps(shapes, { among: new Set(register.keys()) }).flatMap(({ one, other, m2, same }) =>
		register.has(one) ? [] : [{ record: Number(one), other, m2, same }],
	);
}

/** Fields of the register, by id, that the file does not replace and whose boxes meet one of its records'. */
async function fieldsBeside(db: ReadDb, good: readonly GoodRecord[], matches: ReadonlyMap<number, Match>) {
	const replaced = new Set([...matches.values()].map(({ found }) => found.field.id));
	const boxes = good.map(({ boundary }) => boundary);
	const beside = (await currentBoundaries(db)).filter(
		(row) =>
			!replaced.has(row.id) &&
			boxes.some((box) => box.west < row.east && box.east > row.west && box.south < row.north && box.north > row.south),
	);
	return new Map(
		beside.map(({ id, name, areaM2, geometry }): [string, Neighbour] => [
			id,
			{ name: `${name} of the register`, areaM2, geometry: JSON.parse(geometry) as Geometry },
		]),
	);
}

function sharedNow(one: Geometry, other: Geometry): number {
	const m2 = overlapM2(one, other);
	return m2.ok ? m2.value : 0;
}

function called({ name, record }: GoodRecord): string {
	return `${name} (record ${record})`;
}
