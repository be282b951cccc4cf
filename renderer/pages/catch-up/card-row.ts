import type { Job } from '../../../shared/contract/jobs.ts';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import type { MarginOnField } from '../../../shared/contract/jobs-margins.ts';
import { amount, capital } from '../../format.ts';
import { meteredVolumes } from '../../held-words.ts';
import { portionWord } from '../../kind-words.ts';
import { asksFlowering, isMixed } from '../../paper/card-words.ts';
import { type MarginRow, marginsSaid } from '../../parts/margin-rows.ts';
import type { Units } from '../../units.ts';
import { loadState, restOfLoad, standingLogs, whereLoadEnds } from '../jobs/job-words.ts';
import { spanOf } from '../jobs/local-time.ts';
import { batchesNamed, batchesOf } from '../jobs/log-draft.ts';
import { distancesAsked, marginsHere } from '../jobs/margins-ahead.ts';

/** The load a card belongs to, as far as it is needed to log it. */
export type FoundCard = {
	readonly jobId: string;
	readonly kind: LoadCard['kind'];
	readonly load: number;
	readonly loads: number;
	readonly job: string;
	readonly ends: string;
	readonly state: 'to do' | 'broken off' | 'logged' | 'closed';
	readonly date: string;
	readonly operator: string;
	/** The last stop of the inlet meter on the card, or the water of a slurry; null: nothing is metered. */
	readonly waterL: number | null;
	/** A label of the job keeps off flowers. */
	readonly asksFlowering: boolean;
	/** What its labels ask to keep, in words; empty: they ask for no distance. */
	readonly distances: readonly string[];
	/** The ground of the load. */
	readonly fields: readonly { readonly fieldId: string; readonly name: string }[];
	/** Margins to begin with, where a distance is asked for. */
	readonly margins: readonly MarginRow[];
	readonly products: readonly {
		readonly productId: string;
		readonly name: string;
		readonly unit: string;
		readonly amount: number;
		/** The batches its plan named. */
		readonly named: readonly string[];
	}[];
};

/** One paper card while it is keyed. An amount left empty is the card's own, and is logged as such. */
export type CardRow = {
	/** The key it is logged with: sent twice it is logged once. */
	readonly key: string;
	readonly code: string;
	readonly card: FoundCard | null;
	/** Why the code was not found, or why the log was refused. */
	readonly problem: string | null;
	/** The book holds less than was poured; it may be logged all the same. */
	readonly offersShort: boolean;
	readonly short: boolean;
	readonly began: string;
	readonly ended: string;
	readonly date: string;
	readonly operator: string;
	readonly meteredL: number | null;
	/** What was in flower; empty: not answered. */
	readonly flowering: string;
	/** Margins as they were keyed on this card; null: those of the card above it, see `marginsOf`. */
	readonly margins: readonly MarginRow[] | null;
	/** The amounts on the card were ticked off in the yard: planned is what went in. */
	readonly ticked: boolean;
	readonly amounts: Readonly<Record<string, number | null>>;
	readonly batches: Readonly<Record<string, string>>;
};

/** Amounts further from the plan than this part of it are shown again: 21.56 for 12.56 is more often a slip than a pour. Assumption. */
const FAR_PART = 0.2;

/** What was keyed that is far from the plan, in words. */
export function farFromPlan({ card, amounts }: Pick<CardRow, 'card' | 'amounts'>): string[] {
	return (card?.products ?? []).flatMap(({ productId, name, unit, amount: planned }) => {
		const keyed = amounts[productId] ?? null;
		if (keyed === null || Math.abs(keyed - planned) <= FAR_PART * planned) return [];
		return [`${name} ${amount(keyed, unit)}, the plan says ${amount(planned, unit)}`];
	});
}

export function emptyRow(key: string): CardRow {
	return {
		key,
		code: '',
		card: null,
		problem: null,
		offersShort: false,
		short: false,
		began: '',
		ended: '',
		date: '',
		operator: '',
		meteredL: null,
		flowering: '',
		margins: null,
		ticked: false,
		amounts: {},
		batches: {},
	};
}

/** The load of a card with what is still to go in. */
export function foundCard(
	job: Job,
	card: LoadCard,
	usual: { readonly operator: string; readonly margins: readonly MarginRow[] },
	farmUnits: Units,
): FoundCard {
	const rest = restOfLoad(card.plan, standingLogs(job.logs, card.load));
	return {
		jobId: job.id,
		kind: card.kind,
		load: card.load,
		loads: card.loads,
		job: job.name,
		ends: job.seed === null ? whereLoadEnds(job.plan.loads, card.load, farmUnits) : '',
		state: job.state === 'closed' ? 'closed' : loadState(job.logs, card.load),
		date: job.date,
		operator: job.operator ?? usual.operator,
		waterL: meteredOf(card),
		asksFlowering: asksFlowering(card),
		distances: distancesAsked(card),
		fields: job.fields.filter(({ fieldId }) => card.plan.ground.some((part) => part.fieldId === fieldId)),
		margins: usual.margins,
		products: card.order.map(({ productId, name, unit, amount, takes }) => ({
			productId,
			name,
			unit,
			amount: rest.products.find((line) => line.productId === productId)?.amount ?? amount,
			named: batchesNamed({ takes }),
		})),
	};
}

function meteredOf(card: LoadCard): number | null {
	const { fill, plan } = card;
	if (isMixed(card)) return fill?.meterStops.at(-1)?.atMeterL ?? meteredVolumes(plan).waterL;
	return plan.slurryL === undefined ? null : plan.waterL;
}

/** Takes over what the plan says where nothing is entered yet. */
export function withDefaults(row: CardRow, card: FoundCard): CardRow {
	return {
		...row,
		card,
		problem: null,
		date: row.date === '' ? card.date : row.date,
		operator: row.operator === '' ? card.operator : row.operator,
	};
}

/**
 * The margins of a card: as keyed on it, else as said of the same job on the nearest card above, on the ground of this one,
 * else those it begins with. They are asked once a job.
 */
export function marginsOf({ key, card, margins }: CardRow, rows: readonly CardRow[]): readonly MarginRow[] {
	if (margins !== null) return margins;
	if (!card || card.distances.length === 0) return [];
	const above = rows.slice(
		0,
		rows.findIndex((row) => row.key === key),
	);
	const said = above.findLast((row) => row.card?.jobId === card.jobId && row.margins?.some((margin) => margin.said));
	const here = marginsHere(said?.margins?.filter((margin) => margin.said) ?? [], card.fields);
	return here.length > 0 ? here : card.margins;
}

/** A label asks for a distance and nobody said what was kept. */
export function unanswered({ card }: Pick<CardRow, 'card'>, margins: readonly MarginRow[]): boolean {
	return (card?.distances ?? []).length > 0 && marginsSaid(margins).length === 0;
}

/** What a margin still lacks in which something was entered. */
function lacking(margins: readonly MarginRow[]): string[] {
	const said = marginsSaid(margins);
	return [
		said.some(({ margin }) => margin === '') ? 'which margin' : '',
		said.some(({ water }) => water === undefined) ? 'what water is there' : '',
		said.some(({ water, keptM }) => water !== 'none' && keptM === undefined) ? 'the metres kept' : '',
	];
}

/** What keeps a row from being logged; null when nothing does. */
export function troubleOf(row: CardRow, before: readonly CardRow[], margins: readonly MarginRow[] = []): string | null {
	const { card } = row;
	if (!card) return row.problem ?? 'The code is still being looked up.';
	const which = `${capital(portionWord(card.kind))} ${card.load} of ${card.job}`;
	if (card.state === 'closed') return `${card.job} is closed: nothing more is logged for it.`;
	if (card.state === 'logged')
		return `${which} is logged already. If that log is wrong, take it back on its job first.`;
	if (before.some((other) => other.card?.jobId === card.jobId && other.card.load === card.load))
		return 'This card stands above already.';
	const missing = [
		row.began === '' ? 'when it began' : '',
		row.ended === '' ? 'when it ended' : '',
		row.date === '' ? 'the day' : '',
		row.operator.trim() === '' ? 'the operator' : '',
		...lacking(margins),
	].filter((word) => word !== '');
	return missing.length > 0 ? `Still to enter: ${missing.join(', ')}.` : null;
}

/** Products whose amount nobody confirmed: the card's own figure stands, and is marked. */
export function unconfirmed({ card, ticked, amounts }: CardRow): readonly string[] {
	if (ticked || !card) return [];
	return card.products.filter(({ productId }) => (amounts[productId] ?? null) === null).map(({ name }) => name);
}

export type CardLog = {
	jobId: string;
	load: number;
	startedAt: string;
	finishedAt: string;
	operator: string;
	actual?: {
		products?: { productId: string; amount?: number; batches?: string[] }[];
		meteredL?: number;
	};
	flowering?: string;
	margins?: MarginOnField[];
	allowShort: boolean;
};

/** A row as it is logged. What nobody entered or ticked is left to the plan. */
export function cardLog(row: CardRow, card: FoundCard, margins: readonly MarginRow[] = []): CardLog {
	const kept = marginsSaid(margins);
	const { startedAt, finishedAt } = spanOf(row.date, row.began, row.ended);
	const products = card.products.flatMap(({ productId, amount }) => {
		const said = row.amounts[productId] ?? (row.ticked ? amount : null);
		const batches = batchesOf(row.batches[productId]);
		if (said === null && batches.length === 0) return [];
		return [{ productId, ...(said === null ? {} : { amount: said }), ...(batches.length > 0 ? { batches } : {}) }];
	});
	const actual = {
		...(products.length > 0 ? { products } : {}),
		...(row.meteredL === null ? {} : { meteredL: row.meteredL }),
	};
	return {
		jobId: card.jobId,
		load: card.load,
		startedAt,
		finishedAt,
		operator: row.operator.trim(),
		...(Object.keys(actual).length > 0 ? { actual } : {}),
		...(row.flowering.trim() === '' ? {} : { flowering: row.flowering.trim() }),
		...(kept.length > 0 ? { margins: kept } : {}),
		allowShort: row.short,
	};
}

/** Rows in the order in which their loads began. */
export function inOrderOfTime(rows: readonly CardRow[]): readonly CardRow[] {
	return rows.toSorted((a, b) => {
		const [first, second] = [`${a.date}T${a.began}`, `${b.date}T${b.began}`];
		return first === second ? (a.card?.load ?? 0) - (b.card?.load ?? 0) : first < second ? -1 : 1;
	});
}
