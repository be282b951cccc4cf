import type { ReportRow } from '../../shared/contract/season.ts';
import type { QueryContext } from './handler.ts';
import { listIncidents } from './incidents.ts';
import { date, number, once, type Period, type ReportTable, text, time } from './report-table.ts';
import { listCleaned } from './tank-state.ts';

/** What went over, out or onto somebody: what, how much, where it went, what was done, who was told. */
export async function incidentLog(context: QueryContext, { from, to }: Period): Promise<ReportTable> {
	const found = await listIncidents(context, { from, to });
	const incidents = found.ok ? found.value.toReversed() : [];
	const standing = incidents.filter(({ withdrawn }) => withdrawn === null);
	const open = standing.filter(({ wentTo, done, told }) => wentTo === null || done === null || told === null).length;
	const withdrawn = incidents.length - standing.length;
	return {
		columns: [
			date('date', 'date'),
			time('at', 'time', { under: 'date', bare: true }),
			text('kind', 'what'),
			text('job', 'job'),
			text('load', 'load', { under: 'job' }),
			text('product', 'product lost'),
			number('amount', 'amount', 3, { unitFrom: 'unit', under: 'product' }),
			text('unit', 'unit'),
			number('mixL', 'mix or water', 0, { unit: 'L' }),
			text('wentTo', 'where it went'),
			text('done', 'what was done'),
			text('told', 'who was told'),
			text('who', 'entered by'),
			text('withdrawn', 'withdrawn', { under: 'who' }),
		],
		rows: incidents.map(
			(each): ReportRow => ({
				date: each.happenedAt.slice(0, 10),
				at: each.happenedAt,
				kind: each.kind,
				job: each.job,
				load: each.load === null ? null : String(each.load),
				product: each.product,
				amount: each.amount,
				unit: each.unit,
				mixL: each.mixL,
				wentTo: each.wentTo,
				done: each.done,
				told: each.told,
				who: each.who,
				withdrawn: each.withdrawn && `withdrawn: ${each.withdrawn.why}`,
			}),
		),
		totals: null,
		notes: [
			...(open > 0
				? [
						`${open} of ${standing.length} ${open === 1 ? 'lacks' : 'lack'} where it went, what was done or who was told.`,
					]
				: []),
			...(withdrawn > 0
				? [`${withdrawn} struck through: entered wrongly and withdrawn, with what they posted to the store taken back.`]
				: []),
			'Lost product is posted to the store as a spill.',
		],
	};
}

/** How each sprayer was cleaned down and rinsed out, and after what. */
export async function cleaningLog(context: QueryContext, { from, to }: Period): Promise<ReportTable> {
	const found = await listCleaned(context, { from, to });
	const rows = found.ok ? found.value.toReversed() : [];
	return {
		columns: [
			text('sprayer', 'sprayer', once),
			date('date', 'date'),
			time('at', 'time', { under: 'date', bare: true }),
			text('kind', 'what'),
			text('before', 'in the tank'),
			text('done', 'done'),
			number('waterL', 'rinse water', 0, { unit: 'L' }),
			number('factor', 'times weaker', 0),
			text('washings', 'washings'),
			text('note', 'note', { under: 'washings' }),
			text('who', 'by'),
		],
		rows: rows.map(
			(each): ReportRow => ({
				sprayer: each.sprayer,
				date: each.at.slice(0, 10),
				at: each.at,
				kind: each.kind,
				before: each.before?.products.join(', ') ?? null,
				done:
					each.rinsesL.length > 0
						? `${each.rinsesL.length} rinses, ${each.residualL} L left each time`
						: each.tasks.join(', '),
				waterL: each.rinsesL.length > 0 ? each.rinsesL.reduce((sum, water) => sum + water, 0) : null,
				factor: each.factor,
				washings: each.washings,
				note: each.note,
				who: each.who,
			}),
		),
		totals: null,
		notes: ['How many times weaker is reckoned with full mixing: it informs, it proves nothing clean.'],
	};
}
