import { currentBoundaries } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { JsonValue, Problem } from '../../shared/basics/problem.ts';
import { geodesicBetween } from '../../shared/core/geometry/geodesic.ts';
import { shortWay } from '../../shared/core/geometry/unrolled-ring.ts';

type Choice = { readonly [key: string]: JsonValue };

/** Where a reference system is asked for: how far each would put the file from the register's fields, the nearest first. */
export async function nearestFirst(db: ReadDb, problem: Problem): Promise<Problem> {
	const { choices } = problem.details;
	if (problem.code !== 'file.crsUnknown' || !Array.isArray(choices)) return problem;
	const fields = await currentBoundaries(db);
	const [first] = fields;
	if (!first) return problem;
	const middle = (least: number, most: number) => (least + most) / 2;
	const lat = middle(Math.min(...fields.map(({ south }) => south)), Math.max(...fields.map(({ north }) => north)));
	const easts = fields.map(({ west, east }) => shortWay(middle(west, east) - first.west));
	const lon = first.west + middle(Math.min(...easts), Math.max(...easts));
	const measured = (choices as Choice[]).map((choice) => {
		const [centreLon, centreLat] = Array.isArray(choice['centre']) ? choice['centre'] : [];
		if (typeof centreLon !== 'number' || typeof centreLat !== 'number') return choice;
		const line = geodesicBetween(lat, centreLat, shortWay(centreLon - lon));
		return line ? { ...choice, kmFromFarm: Math.round(line.lengthM / 1000) } : choice;
	});
	const distance = (choice: Choice) => Number(choice['kmFromFarm'] ?? Number.POSITIVE_INFINITY);
	const sorted = measured.toSorted((one, other) => distance(one) - distance(other) || 0);
	return { ...problem, details: { ...problem.details, choices: sorted } };
}
