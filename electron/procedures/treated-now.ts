import type { LoadLogStored } from '../../db/modules/jobs.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { PlannedIndoors } from '../../shared/contract/jobs-indoors.ts';
import type { PlannedLoad } from '../../shared/contract/jobs-plan.ts';
import { toInstant } from './clock.ts';
import { inAll, quantityTreated, spacesTreated } from './job-details.ts';
import type { LogInput } from './log-load.ts';

/** What one log treated of one closed space, and when. */
export type SpacePart = {
	readonly spaceId: string;
	readonly amount: number;
	readonly startedAt: number;
	readonly finishedAt: number;
};

/** What a log treated that is no ground. */
export type Treated = {
	/** Seed, or of all its closed spaces, in its own unit; null: ground is treated. */
	readonly quantity: number | null;
	readonly spaces: readonly SpacePart[];
};

type Times = { readonly startedAt: number; readonly finishedAt: number; readonly zone: string };

/**
 * Seed, or of closed spaces, that this log treated: what the operator says, else the load less what was treated before the
 * stop.
 */
export function treatedNow(
	load: PlannedLoad,
	indoors: PlannedIndoors | null,
	logs: readonly LoadLogStored[],
	{ input, ...times }: Times & { readonly input: LogInput },
): Result<Treated> {
	const lacks = (path: string, why: string) => refuse('input.invalid', { path: `actual.${path}`, why });
	const { actual, stopped } = input;
	if (indoors === null && actual?.spaces) return lacks('spaces', 'only a job in closed spaces has them');
	if (load.seed === undefined && actual?.seed !== undefined) return lacks('seed', 'only a seed treatment has seed');
	if (indoors !== null) {
		if (stopped && !actual?.spaces) {
			return lacks('spaces', 'a treatment that was broken off needs how much of the spaces was treated so far');
		}
		const spaces = spacesNow(indoors, logs, { said: actual?.spaces, ...times });
		return spaces.ok ? ok({ quantity: inAll({ spaces: spaces.value }), spaces: spaces.value }) : spaces;
	}
	if (load.seed === undefined) return ok({ quantity: null, spaces: [] });
	if (stopped && actual?.seed === undefined) {
		return lacks('seed', 'a batch that was broken off needs the seed treated so far');
	}
	return ok({ quantity: actual?.seed ?? Math.max(0, load.seed - quantityTreated(logs)), spaces: [] });
}

/** Of each closed space: what is said, else all of it that was not treated before. */
function spacesNow(
	{ spaces }: PlannedIndoors,
	logs: readonly LoadLogStored[],
	{ said, startedAt, finishedAt, zone }: Times & { readonly said: NonNullable<LogInput['actual']>['spaces'] },
): Result<SpacePart[]> {
	if (!said) {
		const before = spacesTreated(logs, { spaces });
		const rest = spaces.map(({ spaceId, amount }) => ({
			...{ spaceId, startedAt, finishedAt },
			amount: amount - (before.get(spaceId) ?? 0),
		}));
		return ok(rest.filter(({ amount }) => amount > 1e-9));
	}
	const parts: SpacePart[] = [];
	for (const [index, part] of said.entries()) {
		const lacks = (name: string, why: string) =>
			refuse('input.invalid', { path: `actual.spaces[${index}].${name}`, why });
		if (!spaces.some(({ spaceId }) => spaceId === part.spaceId)) return lacks('spaceId', 'is no space of this job');
		if (said.findIndex(({ spaceId }) => spaceId === part.spaceId) < index) return lacks('spaceId', 'stands twice');
		const from = part.startedAt ? toInstant(part.startedAt, zone) : startedAt;
		const to = part.finishedAt ? toInstant(part.finishedAt, zone) : finishedAt;
		if (to < from) return lacks('finishedAt', 'is before the start in this space');
		if (part.amount > 0) parts.push({ spaceId: part.spaceId, amount: part.amount, startedAt: from, finishedAt: to });
	}
	if (parts.length === 0) {
		return refuse('input.invalid', { path: 'actual.spaces', why: 'say how much of at least one space was treated' });
	}
	return ok(parts);
}
