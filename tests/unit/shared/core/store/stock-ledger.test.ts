import { expect, test } from 'vitest';
import {
	type LedgerLine,
	type Lot,
	reversalOf,
	stockOnHand,
	stockPlaces,
} from '../../../../../shared/core/store/stock-ledger.ts';
import { seededRandom } from '../../../seeded-random.ts';

const L = 1_000_000;
const cans: Lot = { lotId: 'cans', productId: 'A', packSize: 5 * L, batch: 'B1', expires: '2028-03-31' };
const oldCans: Lot = { lotId: 'old cans', productId: 'A', packSize: 5 * L, batch: 'B0', expires: '2027-09-30' };
const drums: Lot = { lotId: 'drums', productId: 'A', packSize: 20 * L, batch: null, expires: null };

function line(amount: number, lotId: string | null, containerId: string | null = null): LedgerLine {
	return { productId: 'A', amount, lotId, containerId };
}

const lines = [
	line(40 * L, 'cans'),
	line(20 * L, 'drums'),
	line(10 * L, 'old cans'),
	line(-15 * L, 'cans'),
	line(-5 * L, 'old cans'),
	line(1.25 * L, 'old cans', 'can 7'),
];

test('whole packs, opened containers and batches are told apart', () => {
	expect(stockOnHand(lines, [cans, drums, oldCans])).toEqual([
		{
			productId: 'A',
			amount: 51.25 * L,
			packs: [
				{ size: 20 * L, count: 1 },
				{ size: 5 * L, count: 6 },
			],
			opened: [{ ...oldCans, containerId: 'can 7', left: 1.25 * L }],
			lots: [
				{ ...oldCans, count: 1 },
				{ ...cans, count: 5 },
				{ ...drums, count: 1 },
			],
			loose: 0,
			openDiscrepancy: 0,
		},
	]);
});

test('a draw beyond the book stands as an open discrepancy and hides nothing', () => {
	const stock = stockOnHand([...lines, line(-3 * L, null), line(2 * L, 'cans')], [cans, drums, oldCans])[0];
	expect({ amount: stock?.amount, loose: stock?.loose, openDiscrepancy: stock?.openDiscrepancy }).toEqual({
		amount: 50.25 * L,
		loose: 2 * L,
		openDiscrepancy: 3 * L,
	});
});

test('a product that is used up is still on the list, empty', () => {
	expect(stockOnHand([line(5 * L, 'cans'), line(-5 * L, 'cans')], [cans])).toEqual([
		{ productId: 'A', amount: 0, packs: [], opened: [], lots: [], loose: 0, openDiscrepancy: 0 },
	]);
});

test('amounts that are not whole, unknown lots and sums too large to be exact are bugs', () => {
	expect(() => stockPlaces([line(0.5, 'cans')])).toThrow('0.5 is not a whole number');
	expect(() => stockOnHand([line(1, 'lost')], [cans])).toThrow('names lot lost');
	expect(() => stockPlaces([line(Number.MAX_SAFE_INTEGER, 'cans'), line(1, 'cans')])).toThrow('too large to be exact');
});

/**
 * 10,000 random movements: deliveries, loads that open packs, draws beyond the book, reversals and count adjustments,
 * checked against sums made in another way (whole numbers of unlimited size, one filter for each place).
 */
test.each([1, 2, 3])('random ledger %i agrees with an independent recomputation', (seed) => {
	const random = seededRandom(seed);
	const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
	const lots: Lot[] = [];
	for (const productId of ['A', 'B', 'C', 'D']) {
		for (const size of [1, 5, 10]) {
			lots.push({ lotId: `${productId}${size}`, productId, packSize: size * L, batch: null, expires: null });
		}
	}
	const ledger: LedgerLine[] = [];
	const events: LedgerLine[][] = [];
	const post = (event: LedgerLine[]) => {
		events.push(event);
		ledger.push(...event);
	};
	let containers = 0;
	while (ledger.length < 10_000) {
		const lot = pick(lots);
		const { productId, lotId, packSize } = lot;
		const what = random();
		if (what < 0.3) post([{ productId, lotId, containerId: null, amount: packSize * Math.ceil(random() * 20) }]);
		else if (what < 0.6) {
			const left = Math.floor(random() * packSize);
			containers++;
			post([
				{ productId, lotId, containerId: null, amount: -packSize },
				{ productId, lotId, containerId: `c${containers}`, amount: left },
			]);
		} else if (what < 0.7) post([{ productId, lotId: null, containerId: null, amount: -Math.ceil(random() * 9 * L) }]);
		else if (what < 0.85 && events.length > 0) post(reversalOf(pick(events)));
		else if (what < 0.95 && containers > 0) {
			const containerId = `c${Math.ceil(random() * containers)}`;
			const opened = ledger.find((entry) => entry.containerId === containerId);
			if (opened !== undefined) post([{ ...opened, amount: -Math.floor(random() * opened.amount) }]);
		} else {
			const counted = BigInt(Math.floor(random() * 500 * L));
			const book = ledger.reduce(
				(sum, entry) => (entry.productId === productId ? sum + BigInt(entry.amount) : sum),
				0n,
			);
			const amount = Number(counted - book);
			if (amount !== 0) post([{ productId, lotId: null, containerId: null, amount }]);
			const after = stockOnHand(ledger, lots).find((stock) => stock.productId === productId);
			expect(after?.amount).toBe(Number(counted));
		}
	}
	const sumWhere = (keep: (entry: LedgerLine) => boolean) =>
		Number(ledger.filter(keep).reduce((sum, entry) => sum + BigInt(entry.amount), 0n));
	const stock = stockOnHand(ledger, lots);
	expect(stock.map(({ productId, amount }) => [productId, amount])).toEqual(
		['A', 'B', 'C', 'D'].map((productId) => [productId, sumWhere((entry) => entry.productId === productId)]),
	);
	for (const { productId, amount, packs, opened, loose, openDiscrepancy } of stock) {
		const inPacks = packs.reduce((sum, { size, count }) => sum + size * count, 0);
		const inOpened = opened.reduce((sum, { left }) => sum + left, 0);
		expect(inPacks + inOpened + loose - openDiscrepancy).toBe(amount);
		for (const { containerId, left } of opened) {
			expect(left).toBe(sumWhere((entry) => entry.containerId === containerId && entry.productId === productId));
		}
	}
	for (const place of stockPlaces(ledger)) {
		const balance = sumWhere(
			(entry) =>
				entry.productId === place.productId && entry.lotId === place.lotId && entry.containerId === place.containerId,
		);
		expect(place.amount).toBe(balance);
	}
	expect(stockPlaces([...ledger, ...reversalOf(ledger)])).toEqual([]);
});
