import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { lotsOf } from '../../db/modules/store.ts';
import { openedContainers, sealedSums } from '../../db/modules/store-sums.ts';
import { emptiesCounts } from '../../db/modules/waste.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { endOfDay, startOfDay } from './clock.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { alphabetical, number, type Period, type ReportTable, text } from './report-table.ts';
import { type Standing, standingCollections } from './waste-account.ts';

/** Containers of one product and size, in pieces. */
type Account = {
	atStart: number;
	received: number;
	pouredWhole: number;
	opened: number;
	other: number;
	emptied: number;
	openAtStart: number;
	stillOpen: number;
	/** Ever run empty into loads, until the end of the period. */
	emptiedInAll: number;
};

/** What became of the containers, product by product and size by size. */
export async function containerStatement({ db, farm }: QueryContext, { from, to }: Period): Promise<ReportTable> {
	const accounts = await accountsOf(db, { from: startOfDay(from, farm.zone), to: endOfDay(to, farm.zone) });
	const products = new Map((await listProducts<ProductDetails>(db)).map((product) => [product.id, product]));
	const [taken, everTaken] = await collected(db, { from, to });
	const waiting = await waitingAtEnd(db, { accounts, everTaken, products, to });
	const rows = accounts.map(({ productId, packSize, account }): ReportRow => {
		const product = products.get(productId);
		const { atStart, received, pouredWhole, opened, other, emptied, openAtStart, stillOpen } = account;
		return {
			product: product?.name ?? '?',
			size: fromStockAmount(packSize),
			unit: product?.unit ?? null,
			...{ atStart, received, pouredWhole, opened, other },
			atEnd: atStart + received - pouredWhole - opened + other,
			openAtStart: openAtStart || null,
			// What neither ran empty into a load nor is still there left otherwise, or a count came upon it.
			otherOpened: stillOpen + emptied - openAtStart - opened || null,
			stillOpen,
			emptied: pouredWhole + emptied,
			collected: taken.get(containerOf({ productId, size: packSize, unit: null }))?.pieces ?? 0,
			waiting: waiting.get(containerOf({ productId, size: packSize, unit: null }))?.pieces ?? 0,
		};
	});
	const listed = new Set(
		accounts.map(({ productId, packSize }) => containerOf({ productId, size: packSize, unit: null })),
	);
	for (const [container, { productId, size, unit, pieces }] of waiting) {
		if (listed.has(container)) continue;
		const product = productId === null ? OF_NO_PRODUCT : (products.get(productId)?.name ?? '?');
		const own = taken.get(container)?.pieces ?? 0;
		if (own !== 0 || pieces !== 0)
			rows.push({ product, size: fromStockAmount(size), unit, collected: own, waiting: pieces });
	}
	const isRest = (row: ReportRow) => Number(row['product'] === OF_NO_PRODUCT);
	rows.sort(
		(a, b) =>
			isRest(a) - isRest(b) ||
			alphabetical(String(a['product']), String(b['product'])) ||
			Number(b['size']) - Number(a['size']),
	);
	return {
		columns: [
			text('product', 'product'),
			number('size', 'size', 3, { unitFrom: 'unit', plain: true }),
			text('unit', 'unit'),
			number('atStart', 'full at the start', 0),
			number('openAtStart', 'opened', 0, { under: 'atStart' }),
			number('received', 'received', 0),
			number('pouredWhole', 'poured whole', 0),
			number('opened', 'opened', 0),
			number('other', 'returned, lent, counted', 0),
			number('otherOpened', 'opened ones', 0, { under: 'other' }),
			number('atEnd', 'full at the end', 0),
			number('stillOpen', 'open at the end', 0),
			number('emptied', 'emptied', 0),
			number('collected', 'collected', 0),
			number('waiting', 'empties waiting at the end', 0),
		],
		rows,
		totals: null,
		notes: [
			'Emptied = poured whole + opened ones that ran empty into loads in the period: these are to be rinsed and handed over.',
			'Returned, lent, counted: what left otherwise, and what stock takes missed (−) or found.',
			'Collected = handed over in the period, also what was emptied before.',
			'Waiting = ever emptied into loads, less ever collected. What was collected or counted by hand for a size only is of no product: it has a line of its own, which makes the sum right.',
		],
	};
}

/** What was collected or counted by its size only stands after the products. */
const OF_NO_PRODUCT = 'not told by product';

type Collected = { productId: string | null; size: number; unit: string | null; pieces: number };

const containerOf = ({ productId, size, unit }: Omit<Collected, 'pieces'>) => `${productId ?? unit} ${size}`;

type Taken = ReadonlyMap<string, Collected>;

/** Containers handed over by product and size, in a period and ever until its end; of no product where only the size was told. */
async function collected(db: ReadDb, { from, to }: Period): Promise<readonly [inPeriod: Taken, ever: Taken]> {
	const until = (await standingCollections(db)).filter(({ row }) => row.collectedOn <= to);
	return [sumsOf(until.filter(({ row }) => row.collectedOn >= from)), sumsOf(until)];
}

function sumsOf(collections: readonly Standing[]): Taken {
	const taken = new Map<string, Collected>();
	for (const { productId, size, unit, pieces } of collections.flatMap(({ lines }) => lines)) {
		if (size === null) continue;
		const container = containerOf({ productId, size, unit });
		const known = taken.get(container) ?? { productId, size, unit, pieces: 0 };
		taken.set(container, { ...known, pieces: known.pieces + pieces });
	}
	return taken;
}

type Ever = {
	readonly accounts: readonly Accounted[];
	readonly everTaken: Taken;
	readonly products: ReadonlyMap<string, ProductRow<ProductDetails>>;
	readonly to: string;
};

/** Empties that wait at the end by product and size, with a line for each size of what is of no product. */
async function waitingAtEnd(db: ReadDb, { accounts, everTaken, products, to }: Ever): Promise<Taken> {
	const waiting = new Map<string, Collected>();
	const ofSize = new Map<string, Collected & { empties: number }>();
	const sizeOf = (size: number, unit: string | null) => {
		const known = ofSize.get(`${size} ${unit}`) ?? { productId: null, size, unit, pieces: 0, empties: 0 };
		ofSize.set(`${size} ${unit}`, known);
		return known;
	};
	for (const { productId, packSize: size, account } of accounts) {
		const unit = products.get(productId)?.unit ?? null;
		const container = containerOf({ productId, size, unit });
		const pieces = Math.max(0, account.emptiedInAll - (everTaken.get(container)?.pieces ?? 0));
		waiting.set(container, { productId, size, unit, pieces });
		const whole = sizeOf(size, unit);
		whole.pieces += pieces;
		whole.empties += pieces;
	}
	for (const [container, { pieces, ...of }] of everTaken) {
		if (of.productId === null) sizeOf(of.size, of.unit).empties -= pieces;
		else if (!waiting.has(container)) waiting.set(container, { ...of, pieces: 0 });
	}
	for (const { size, unit, pieces, book, countedOn } of await emptiesCounts(db))
		if (countedOn <= to) sizeOf(size, unit).empties += pieces - book;
	for (const { size, unit, pieces, empties } of ofSize.values()) {
		const rest = Math.max(0, empties) - pieces;
		const container = containerOf({ productId: null, size, unit });
		if (rest !== 0 || everTaken.has(container)) waiting.set(container, { productId: null, size, unit, pieces: rest });
	}
	return waiting;
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
		if (kind === null || kind === 'poured before') account.atStart += packs;
		else if (kind === 'delivery') account.received += packs;
		else if (kind === 'load' || kind === 'load reversal') account.pouredWhole -= packs;
		else if (kind === 'opening') account.opened -= packs;
		else account.other += packs;
		if (kind === 'poured before' || kind === 'load' || kind === 'load reversal') account.emptiedInAll -= packs;
	}
	for (const { lotId, openBefore, stillOpen, ranEmpty, poured } of await openedContainers(db, period)) {
		const { account } = accountOf(lotId);
		account.openAtStart += openBefore;
		account.stillOpen += stillOpen;
		account.emptied += ranEmpty;
		account.emptiedInAll += poured;
	}
	return [...accounts.values()];
}

function newAccount(): Account {
	const full = { atStart: 0, received: 0, pouredWhole: 0, opened: 0, other: 0 };
	return { ...full, emptied: 0, openAtStart: 0, stillOpen: 0, emptiedInAll: 0 };
}
