import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Metres } from '../../units/quantity.ts';

export const planPartKinds = [
	'shelf',
	'room',
	'bund',
	'door',
	'water',
	'electricity',
	'extinguisher',
	'spill kit',
] as const;
export type PlanPartKind = (typeof planPartKinds)[number];

/** A rectangle of the plan, from the upper left corner of the building. */
export type PlanPart = {
	readonly kind: PlanPartKind;
	readonly label: string;
	readonly xM: Metres;
	readonly yM: Metres;
	readonly widthM: Metres;
	readonly depthM: Metres;
};

/** The building, and what stands in it. Shelves are walked along in the order of the list. */
export type StorePlan = { readonly widthM: Metres; readonly depthM: Metres; readonly parts: readonly PlanPart[] };

/** Figures with a decimal each may add up to a hair more than the building. */
const HAIR_M = 1e-6;

/**
 * Is the plan one that can be drawn? Every part inside the building, no two shelves of one name (places are told by it).
 * Refuses `plan.outside` and `plan.labelTwice`.
 */
export function checkPlan(plan: StorePlan): Result<StorePlan> {
	const shelves = new Set<string>();
	for (const { kind, label, xM, yM, widthM, depthM } of plan.parts) {
		if (xM + widthM > plan.widthM + HAIR_M || yM + depthM > plan.depthM + HAIR_M) {
			return refuse('plan.outside', { label: label || kind, widthM: plan.widthM, depthM: plan.depthM });
		}
		const place = plainPlace(label);
		if (kind !== 'shelf') continue;
		if (shelves.has(place)) return refuse('plan.labelTwice', { label });
		shelves.add(place);
	}
	return ok(plan);
}

/**
 * Where a place comes on the walk along the shelves: 0 for the first; places the plan does not know come after all of
 * them. A place that begins with a shelf's name stands on that shelf (`Shelf 2, top`).
 */
export function placeOnWalk(plan: StorePlan | null, place: string): number {
	const shelves = shelvesOf(plan).map(plainPlace);
	const wanted = plainPlace(place);
	const exact = shelves.indexOf(wanted);
	if (exact >= 0) return exact;
	const [best] = shelves
		.map((shelf, index) => ({ shelf, index }))
		.filter(({ shelf }) => shelf !== '' && wanted.startsWith(shelf) && !/[a-z0-9]/.test(wanted[shelf.length] ?? ''))
		.sort((a, b) => b.shelf.length - a.shelf.length);
	return best?.index ?? shelves.length;
}

/** Names of the shelves, in the order they are walked along. */
export function shelvesOf(plan: StorePlan | null): string[] {
	return (plan?.parts ?? []).filter(({ kind, label }) => kind === 'shelf' && label !== '').map(({ label }) => label);
}

function plainPlace(place: string): string {
	return place.trim().toLowerCase().replace(/\s+/g, ' ');
}
