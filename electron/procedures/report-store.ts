import { listProducts } from '../../db/modules/products.ts';
import { listCounts, lotsOf } from '../../db/modules/store.ts';
import { openedContainers, sealedSums } from '../../db/modules/store-sums.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay, toLocalDate } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { alphabetical, date, number, once, type Period, type ReportTable, text } from './report-table.ts';
import { stockOf } from './season.ts';
import { standingCollections } from './waste-account.ts';

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
			...(idle > 0 ? [`${idle} products neither stood in the store nor moved, and are not listed.`] : []),
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

/** Containers of one product and size, in pieces. */
type Account = {
	atStart: number;
	received: number;
	pouredWhole: number;
	opened: number;
	other: number;
	emptied: number;
	stillOpen: number;
};

/** What became of the containers, product by product and size by size. */
export async function containerStatement({ db, farm }: QueryContext, { from, to }: Period): Promise<ReportTable> {
	const accounts = await accountsOf(db, { from: startOfDay(from, farm.zone), to: endOfDay(to, farm.zone) });
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const taken = await collectedIn(db, { from, to });
	const rows = accounts.map(({ productId, packSize, account }): ReportRow => {
		const product = products.get(productId);
		const { atStart, received, pouredWhole, opened, other, emptied, stillOpen } = account;
		return {
			product: product?.name ?? '?',
			size: fromStockAmount(packSize),
			unit: product?.unit ?? null,
			...{ atStart, received, pouredWhole, opened, other },
			atEnd: atStart + received - pouredWhole - opened + other,
			stillOpen,
			emptied: pouredWhole + emptied,
			collected: taken.get(containerOf({ productId, size: packSize }))?.pieces ?? 0,
		};
	});
	const listed = new Set(accounts.map(({ productId, packSize }) => containerOf({ productId, size: packSize })));
	for (const [container, { productId, size, unit, pieces }] of taken) {
		if (listed.has(container)) continue;
		const product = productId === null ? 'not told by product' : (products.get(productId)?.name ?? '?');
		rows.push({ product, size: fromStockAmount(size), unit, collected: pieces });
	}
	rows.sort(
		(a, b) => alphabetical(String(a['product']), String(b['product'])) || Number(b['size']) - Number(a['size']),
	);
	return {
		columns: [
			text('product', 'product'),
			number('size', 'size', 3, { ...of, plain: true }),
			text('unit', 'unit'),
			number('atStart', 'full at the start', 0),
			number('received', 'received', 0),
			number('pouredWhole', 'poured whole', 0),
			number('opened', 'opened', 0),
			number('other', 'returned, lent, counted', 0),
			number('atEnd', 'full at the end', 0),
			number('stillOpen', 'open at the end', 0),
			number('emptied', 'emptied', 0),
			number('collected', 'collected', 0),
		],
		rows,
		totals: null,
		notes: [
			'Emptied = poured whole + opened ones that ran empty in the period: these are to be rinsed and handed over.',
			'Collected = handed over in the period, also what was emptied before. How many wait now: Store, Empties.',
		],
	};
}

type Collected = { productId: string | null; size: number; unit: string | null; pieces: number };

const containerOf = ({ productId, size }: Pick<Collected, 'productId' | 'size'>) => `${productId} ${size}`;

/** Containers handed over in a period by product and size; of no product where only the size was told. */
async function collectedIn(db: ReadDb, { from, to }: Period): Promise<Map<string, Collected>> {
	const taken = new Map<string, Collected>();
	for (const { row, lines } of await standingCollections(db)) {
		if (row.collectedOn < from || row.collectedOn > to) continue;
		for (const { productId, size, unit, pieces } of lines) {
			if (size === null) continue;
			const container = containerOf({ productId, size });
			const known = taken.get(container) ?? { productId, size, unit, pieces: 0 };
			taken.set(container, { ...known, pieces: known.pieces + pieces });
		}
	}
	return taken;
}

type Accounted = { readonly productId: string; readonly packSize: number; readonly account: Account };

/** Sealed packs by what was done with them, opened ones by whether they ran empty. */
async function accountsOf(db: ReadDb, period: { from: number; to: number }): Promise<Accounted[]> {
	const lots = await lotsOf(db);
	const accounts = new Map<string, Accounted>();
	const accountOf = (lotId: string) => {
		const { productId, packSize } = lots.get(lotId) ?? { productId: '?', packSize: 1 };
		const key = `${productId} ${packSize}`;
		const known = accounts.get(key) ?? { productId, packSize, account: newAccount() };
		accounts.set(key, known);
		return known;
	};
	for (const { lotId, kind, amount } of await sealedSums(db, period)) {
		const { packSize, account } = accountOf(lotId);
		const packs = amount / packSize;
		if (kind === null) account.atStart += packs;
		else if (kind === 'delivery') account.received += packs;
		else if (kind === 'load' || kind === 'load reversal') account.pouredWhole -= packs;
		else if (kind === 'opening') account.opened -= packs;
		else account.other += packs;
	}
	for (const { lotId, stillOpen, ranEmpty } of await openedContainers(db, period)) {
		const { account } = accountOf(lotId);
		account.stillOpen += stillOpen;
		account.emptied += ranEmpty;
	}
	return [...accounts.values()];
}

function newAccount(): Account {
	return { atStart: 0, received: 0, pouredWhole: 0, opened: 0, other: 0, emptied: 0, stillOpen: 0 };
}
