import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { findingSentences } from '../../../shared/core/limits/finding-sentences.ts';
import type { Api } from '../../api.ts';
import { buffersAsked } from '../../paper/card-words.ts';
import { type MarginRow, marginRow, NO_MARGIN } from '../../parts/margin-rows.ts';

/** What the labels of a job ask to keep, as far as it is open; empty: they ask for none. */
export function distancesAsked(card: Pick<LoadCard, 'limits'>): string[] {
	const asked = buffersAsked(card);
	const open = asked.filter(({ verdict }) => verdict !== 'ok');
	return findingSentences(open.length > 0 ? open : asked, { named: true });
}

/** Those of some margins that lie on the ground of a load. */
export function marginsHere<Of extends { readonly fieldId?: string | null | undefined }>(
	margins: readonly Of[],
	ground: readonly { readonly fieldId: string }[],
): Of[] {
	return margins.filter(({ fieldId }) => !fieldId || ground.some((part) => part.fieldId === fieldId));
}

/** The margins of the load that was logged before, as far as they lie on the ground of this one: they are asked once a job. */
export function marginsBefore({ logs }: Job, { plan }: LoadCard): MarginRow[] {
	const earlier = logs.filter(({ state, margins }) => state !== 'reversed' && margins).at(-1)?.margins ?? [];
	return marginsHere(earlier, plan.ground).map(marginRow);
}

/** Fields of which margins are proposed: beyond that nobody goes through the list. */
const MOST_FIELDS = 12;

/** The no-spray strips of the fields of a load, with the nozzles of its job; they count as soon as somebody says what is there. */
export async function marginsProposed(api: Api, job: Job, { plan }: LoadCard): Promise<MarginRow[]> {
	const ids = plan.ground.slice(0, MOST_FIELDS).map(({ fieldId }) => fieldId);
	const [sprayers, ...fields] = await Promise.all([
		api.sprayers.list({}),
		...ids.map((id) => api.fields.get({ id })),
	] as const);
	const sprayer = sprayers.find(({ id, nozzle }) => id === job.sprayerId && nozzle === (job.nozzle ?? undefined));
	const usual = {
		...NO_MARGIN,
		driftReduction: sprayer?.driftReduction ?? null,
		pressureFromBar: job.pressureBar ?? sprayer?.pressureBar ?? null,
	};
	const strips = fields.flatMap(({ field, strips: own }) =>
		own.flatMap(({ kind, label, widthM }) =>
			kind === 'strip' && widthM !== null ? [{ ...usual, fieldId: field.id, margin: label, keptM: widthM }] : [],
		),
	);
	return strips.length > 0 ? strips : [usual];
}
