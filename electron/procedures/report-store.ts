import { listProducts } from '../../db/modules/products.ts';
import { listCounts } from '../../db/modules/store.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import { date, number, once, type Period, type ReportTable, text } from './report-table.ts';
import { stockOf } from './season.ts';

const of = { unitFrom: 'unit' } as const;

/** The ledger of a period in one line a product, with the last stock take in it. */
export async function stockStatement(context: QueryContext, period: Period): Promise<ReportTable> {
	const { farm } = context;
	const stock = await stockOf(context, period);
	const counts = Map.groupBy(await countsIn(context, period), ({ productId }) => productId);
	const lines = stock.filter((line) => {
		const figures = [line.opening, line.delivered, line.used, line.otherOut, line.counted, line.closing];
		return figures.some((figure) => figure !== 0) || counts.has(line.productId);
	});
	const idle = stock.length - lines.length;
	return {
		columns: [
			text('product', 'product'),
			text('formulation', 'formulation'),
			number('opening', 'at the start', 3, of),
			number('delivered', 'delivered', 3, of),
			number('used', 'into loads', 3, of),
			number('otherOut', 'otherwise out', 3, of),
			number('counted', 'adjusted by counts', 3, of),
			number('closing', 'at the end', 3, of),
			text('unit', 'unit'),
			date('countedOn', 'last count'),
			number('countedAmount', 'counted', 3, { ...of, under: 'countedOn' }),
			number('difference', 'difference', 3, { ...of, under: 'countedOn' }),
		],
		rows: lines.map((line) => {
			const last = counts.get(line.productId)?.[0];
			return {
				product: line.product,
				formulation: line.formulation,
				opening: line.opening,
				delivered: line.delivered,
				used: line.used || 0,
				otherOut: line.otherOut || 0,
				counted: line.counted,
				closing: line.closing,
				unit: line.unit,
				countedOn: last ? toLocalDate(last.freezeAt, farm.zone) : null,
				countedAmount: last ? fromStockAmount(last.counted) : null,
				difference: last ? fromStockAmount(last.counted - last.book) : null,
			};
		}),
		totals: null,
		notes: [
			'At the end = at the start + delivered − into loads − otherwise out + adjusted by counts.',
			...(idle > 0
				? [
						`${idle === 1 ? '1 product' : `${idle} products`} neither stood in the store nor moved, and ${idle === 1 ? 'is' : 'are'} not listed.`,
					]
				: []),
		],
	};
}

/** Stock takes of a period, newest first. */
async function countsIn({ db, farm }: QueryContext, { from, to }: Period) {
	return listCounts(db, { store: 'all', from: startOfDay(from, farm.zone), to: endOfDay(to, farm.zone) });
}

export async function stockCounts(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm } = context;
	const products = new Map((await listProducts(db)).map((product) => [product.id, product]));
	const rows = (await countsIn(context, period)).map((count): ReportRow => {
		const product = products.get(count.productId);
		return {
			date: toLocalDate(count.freezeAt, farm.zone),
			product: product?.name ?? '?',
			book: fromStockAmount(count.book),
			counted: fromStockAmount(count.counted),
			difference: fromStockAmount(count.counted - count.book),
			likely: fromStockAmount(count.likely),
			unit: product?.unit ?? null,
			why: count.why,
			by: count.who,
		};
	});
	return {
		columns: [
			date('date', 'date', once),
			text('product', 'product'),
			number('book', 'by the book', 3, of),
			number('counted', 'counted', 3, of),
			number('difference', 'difference', 3, of),
			number('likely', 'measuring explains, ±', 3, of),
			text('unit', 'unit'),
			text('why', 'reason'),
			text('by', 'counted by'),
		],
		rows: rows.reverse(),
		totals: null,
		notes: [],
	};
}
