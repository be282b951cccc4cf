import type { FillContainer } from '../../shared/core/filling/handling.ts';

/** What the demonstration farm logged in the yard: fills as they went, incidents, cleaning. All of it is invented. */

type Need = <Output>(name: string, input: object) => Promise<Output>;

/** How it really goes on this farm, not as the settings say. */
const TRUE_INFLOW_L_PER_MIN = 236;
const TRUE_CONTAINER_S = 52;
/** Minutes the load is ready before spraying begins. */
const READY_BEFORE_MIN = 4;

type Load = { readonly jobId: string; readonly load: number; readonly waterL: number };
type When = { readonly date: string; readonly sprayedFromMinute: number };

/** Notes a fill press by press, at the pace of this farm, and logs it; the place is cleaned down after the day's last load. */
export async function fillInYard(
	need: Need,
	key: string,
	{ jobId, load, waterL }: Load,
	{ date, sprayedFromMinute }: When,
	operator: string,
	last: boolean,
): Promise<void> {
	const { given } = await need<{ given: Given | null }>('fills.sheet', { jobId, load });
	if (given === null) return;
	const steps = stepsOf(given, waterL, load);
	const readyS = Math.max(...steps.map(({ s }) => s));
	const begin = (sprayedFromMinute - READY_BEFORE_MIN) * 60 - readyS;
	const note = { jobId, load, who: operator };
	for (const [index, { s, ...step }] of steps.entries())
		await need('fills.step', { key: `${key}-step-${index}`, ...note, at: clockTime(date, begin + s), ...step });
	const at = clockTime(date, begin + readyS);
	await need('fills.log', { key: `${key}-fill`, jobId, load, meteredL: waterL, operator, at });
	if (!last) return;
	const tasks = ['hopper and bowl washed', 'drip tray emptied back into the tank', 'containers on the drain rack'];
	await need('fills.cleanDown', { key: `${key}-clean`, jobId, load, tasks, operator, at });
}

type Given = {
	readonly totalL: number;
	readonly startL: number;
	readonly containers: readonly FillContainer[];
};
type Step = { readonly s: number; readonly what: string; readonly container?: number };

/** The inlet runs, shut at half for as long as the pouring needs; containers follow one another from the start level on. */
function stepsOf({ totalL, startL, containers }: Given, waterL: number, turn: number): Step[] {
	const perSecond = (TRUE_INFLOW_L_PER_MIN * (1 + ((turn % 3) - 1) * 0.015)) / 60;
	const steps: Step[] = [{ s: 0, what: 'inlet opened' }];
	let s = Math.round(startL / perSecond);
	for (const index of containers.keys()) {
		s += Math.round(TRUE_CONTAINER_S * (1 + (((index * 7 + turn * 3) % 5) - 2) * 0.05));
		steps.push({ s, what: 'container done', container: index + 1 });
	}
	const runS = Math.round(waterL / perSecond);
	const pauseS = Math.max(0, s - runS + 40);
	const halfS = Math.round((totalL / 2 / (totalL || 1)) * runS);
	if (pauseS > 30) steps.push({ s: halfS, what: 'inlet stopped' }, { s: halfS + pauseS, what: 'inlet opened' });
	steps.push({ s: pauseS > 30 ? runS + pauseS : runS, what: 'inlet stopped' });
	return steps.toSorted((a, b) => a.s - b.s);
}

type RinsedOut = {
	readonly sprayerId: string;
	readonly jobId: string;
	readonly date: string;
	readonly minute: number;
	/** The field its washings are logged onto. */
	readonly onto: string | undefined;
};

/** Three rinses after a job, the washings on its own ground. */
export async function rinseOutAfter(need: Need, key: string, of: RinsedOut, operator: string): Promise<void> {
	const rinses = { residualL: 24, rinsesL: [130, 130, 130], operator };
	const finishedAt = clockTime(of.date, of.minute * 60);
	if (of.onto !== undefined) {
		const fields = [{ fieldId: of.onto, areaHa: 1 }];
		const startedAt = clockTime(of.date, (of.minute - 15) * 60);
		const washed = { jobId: of.jobId, leftL: 24, ...rinses, fields, startedAt, finishedAt, rinsedOut: true };
		await need('jobs.logWashings', { key: `${key}-washings`, ...washed });
		return;
	}
	await need('fills.rinseOut', {
		key: `${key}-rinse`,
		sprayerId: of.sprayerId,
		at: finishedAt,
		...rinses,
		washings: 'on the headland of the last field, with dose to spare',
	});
}

type Spill = { readonly productId: string; readonly amount: number };

/** One told in full, with product lost; one where nobody has said yet who was told. */
export async function incidentsAt(
	need: Need,
	key: string,
	of: { readonly jobId: string; readonly load: number; readonly date: string; readonly spilt: Spill | null },
	operator: string,
): Promise<void> {
	const { jobId, load, date, spilt } = of;
	const at = clockTime(date, (6 * 60 + 52) * 60);
	const kind = spilt ? 'spill' : 'foam over the side';
	const incident = { key: `${key}-incident`, jobId, load, kind, at, by: operator };
	const { id } = await need<{ id: string }>('fills.incident', incident);
	const known = spilt
		? {
				...spilt,
				wentTo: 'into the drip tray, a splash on the concrete',
				done: 'tray emptied back into the tank, concrete strewn with absorbent and swept into the marked drum',
				told: 'J. Wren, farm office',
			}
		: { mixL: 15, wentTo: 'down the side onto the concrete', done: 'inlet and agitation stopped, waited six minutes' };
	await need('fills.completeIncident', { key: `${key}-incident-more`, id, by: operator, ...known });
}

/** `2026-04-15T07:10:05` from seconds after midnight. */
function clockTime(date: string, seconds: number): string {
	const two = (value: number) => String(Math.floor(value)).padStart(2, '0');
	return `${date}T${two(seconds / 3600)}:${two((seconds / 60) % 60)}:${two(seconds % 60)}`;
}
