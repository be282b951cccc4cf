import { invariant } from '../../basics/result.ts';
import { M2_PER_HECTARE } from '../../units/area.ts';
import type { SquareMetres } from '../../units/quantity.ts';
import { ringName } from './boundary.ts';
import type { BoundaryFinding } from './boundary-finding.ts';
import type { Meeting } from './edge-meetings.ts';
import { distance, drawnArea, type LaidBoundary, SAME_POINT_M } from './laid-boundary.ts';

/** Enough to find the trouble by. */
const MOST_FINDINGS = 10;
/** A boundary that meets itself this often is a scribble, and its loops are not worth adding up. */
export const SCRIBBLE_MEETINGS = 2_000;

/**
 * Where rings cross or touch themselves or each other, with the ground truly covered.
 *
 * Loops that cancel show in the areas: what the rings cover is then not what they add up to. Meetings that change no area
 * are touches, and harmless. `covered` gives the ground in all loops of the whole boundary.
 */
export function crossingFindings(
	laid: LaidBoundary,
	meetings: readonly Meeting[],
	covered: () => SquareMetres,
): BoundaryFinding[] {
	const [first] = meetings;
	if (first && meetings.length >= SCRIBBLE_MEETINGS) {
		const { place, name } = placeOf(laid, first);
		return [{ kind: 'self-crossing', ...place, say: `${name} crosses itself more often than a field's edge can` }];
	}
	const drawnM2 = laid.parts.reduce((sum, _, part) => sum + Math.max(0, drawnArea(laid, part)), 0);
	const plain = meetings.length === 0 && laid.rings.length === 1;
	const coveredM2 = plain ? drawnM2 : covered();
	const cancels = Math.abs(coveredM2 - drawnM2) > Math.max(1, 1e-6 * coveredM2);
	const crossings = meetings.filter(({ kind }) => kind === 'cross');
	const told = distinctPlaces(crossings.length > 0 ? crossings : meetings);
	const findings = told.map((meeting) => describe(laid, meeting, { coveredM2, drawnM2, cancels }));
	if (cancels && findings.length === 0) {
		const say = `parts or holes overlap: ${areas(coveredM2, drawnM2)}`;
		findings.push({ kind: 'rings overlap', part: 0, ring: 0, m2: coveredM2, say });
	}
	return findings;
}

function describe(
	laid: LaidBoundary,
	meeting: Meeting,
	{ coveredM2, drawnM2, cancels }: { coveredM2: SquareMetres; drawnM2: SquareMetres; cancels: boolean },
): BoundaryFinding {
	const { place, name, otherName, there } = placeOf(laid, meeting);
	const found = { ...place, m2: coveredM2 };
	const ground = areas(coveredM2, drawnM2);
	if (meeting.one.ring !== meeting.other.ring) {
		return { kind: 'rings overlap', ...found, say: `${name} crosses ${otherName}: ${ground}` };
	}
	if (meeting.kind === 'touch' && !cancels) {
		return { kind: 'self-touching', ...found, say: `${name} touches itself at point ${there}` };
	}
	const where = `after point ${place.vertex + 1} and after point ${there}`;
	return { kind: 'self-crossing', ...found, say: `${name} crosses itself, ${where}: ${ground}` };
}

function placeOf({ rings, several, plane }: LaidBoundary, { one, other, at }: Meeting) {
	const oneRing = rings[one.ring];
	const otherRing = rings[other.ring];
	invariant(oneRing && otherRing, 'edges belong to rings of the boundary');
	const { part, ring } = oneRing;
	return {
		place: { part, ring, vertex: oneRing.points[one.index]?.vertex ?? 0, at: plane.toDegrees(at) },
		name: ringName({ several, part, ring }),
		otherName: ringName({ several, part: otherRing.part, ring: otherRing.ring }),
		/** Counted from one. */
		there: (otherRing.points[other.index]?.vertex ?? 0) + 1,
	};
}

/** The first meetings, those at one point once: where two corners touch, four pairs of edges do. */
function distinctPlaces(meetings: readonly Meeting[]): Meeting[] {
	const told: Meeting[] = [];
	for (const meeting of meetings) {
		if (told.length >= MOST_FINDINGS) break;
		if (!told.some(({ at }) => distance(at, meeting.at) < SAME_POINT_M)) told.push(meeting);
	}
	return told;
}

function areas(coveredM2: SquareMetres, drawnM2: SquareMetres): string {
	const [covered, drawn] = [coveredM2, drawnM2].map((m2) => `${(m2 / M2_PER_HECTARE).toFixed(4)} ha`);
	return covered === drawn ? `it covers ${covered}` : `it covers ${covered}, its rings add up to ${drawn}`;
}
