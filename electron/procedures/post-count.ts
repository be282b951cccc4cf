import type { TakeStored } from '../../db/modules/stock-takes.ts';
import {
	addContainer,
	addCount,
	lotFor,
	type NewMovement,
	post,
	type ShelfLine,
	shelves,
} from '../../db/modules/store.ts';
import { invariant } from '../../shared/basics/result.ts';
import type { TakeLine } from '../../shared/contract/stock-take.ts';
import { countEntry } from '../../shared/core/store/count-entry.ts';
import { adjustShelf, type CountedShelf, type ShelfChange } from '../../shared/core/store/shelf-adjustment.ts';
import { toStockAmount } from '../../shared/units/amount.ts';
import type { CommandContext } from './handler.ts';
import { drawFromShelf, foundOnShelf } from './shelf.ts';

type Counted = { readonly take: TakeStored; readonly line: TakeLine; readonly why: string };
type Common = Omit<NewMovement, 'amount' | 'lotId' | 'containerId'>;

/**
 * Posts one product of a stock take: the count, and what puts the book right at its freeze time. Container by container
 * where the counted shelf still stands; where later loads have already taken from it, by the amount alone.
 */
export async function postCounted(context: CommandContext, { take, line, why }: Counted): Promise<void> {
	const { tx, now, newId } = context;
	const { productId, counted, book, likelySize } = line;
	invariant(counted !== null && book !== null && likelySize !== null, `${line.name} was counted`);
	const standing = line.entries.filter(({ stands }) => stands);
	const who = [...new Set(standing.map(({ by }) => by))].join(', ');
	const sigmas = standing.map((entry) => sigmaOf(line, entry));
	const countId = newId();
	await addCount(tx, {
		id: countId,
		productId,
		freezeAt: take.freezeAt,
		counted: toStockAmount(counted),
		book: toStockAmount(book),
		likely: toStockAmount(likelySize),
		why,
		who,
		postedAt: now,
		takeId: take.id,
		storeId: take.storeId,
		sigma: Math.round(Math.hypot(...sigmas)),
	});
	const common: Common = {
		productId,
		storeId: take.storeId,
		kind: 'count adjustment',
		occurredAt: take.freezeAt,
		who,
		why,
		countId,
	};
	const movements = await adjustments(context, common, line);
	if (movements.length > 0) await post(tx, context, movements);
}

function sigmaOf(line: TakeLine, entry: TakeLine['entries'][number]): number {
	const read = countEntry(line, entry);
	return read.ok ? toStockAmount(read.value.sigma) : 0;
}

async function adjustments(context: CommandContext, common: Common, line: TakeLine): Promise<NewMovement[]> {
	const { tx } = context;
	const which = { store: common.storeId, productIds: [common.productId] };
	const nothing: ShelfLine = { sealed: [], opened: [], beyondBook: 0 };
	const frozen = (await shelves(tx, { ...which, until: common.occurredAt })).get(common.productId) ?? nothing;
	const today = (await shelves(tx, which)).get(common.productId) ?? nothing;
	const changes = adjustShelf(frozen, countedShelf(line));
	if (changes.every((change) => fits(change, today))) {
		const movements: NewMovement[] =
			frozen.beyondBook === 0 ? [] : [{ ...common, amount: -frozen.beyondBook, ...beyond }];
		for (const change of changes) movements.push(await movementOf(context, common, change));
		return movements;
	}
	const difference = toStockAmount(line.counted ?? 0) - toStockAmount(line.book ?? 0);
	const rest = difference + today.beyondBook;
	const closing = today.beyondBook === 0 ? [] : [{ ...common, amount: -today.beyondBook, ...beyond }];
	if (rest < 0) return [...closing, ...(await drawFromShelf(context, { ...common, amount: -rest }))];
	if (rest === 0) return closing;
	const packSizes = line.packSizes.map(toStockAmount);
	return [...closing, ...(await foundOnShelf(context, { ...common, amount: rest, packSizes }))];
}

const beyond = { lotId: null, containerId: null } as const;

/** What all standing entries found together, container by container. The last part takes up what rounding left. */
function countedShelf(line: TakeLine): CountedShelf {
	const standing = line.entries.filter(({ stands }) => stands);
	const full = standing.flatMap((entry) => entry.full.map(({ size, count }) => ({ size: toStockAmount(size), count })));
	const parts = standing.flatMap((entry) => {
		const read = countEntry(line, entry);
		invariant(read.ok, `the count of ${line.name} was read when it was entered`);
		return entry.parts.map(({ size }, index) => ({
			size: toStockAmount(size),
			left: toStockAmount(read.value.parts[index] ?? 0),
		}));
	});
	const sum =
		full.reduce((all, { size, count }) => all + size * count, 0) + parts.reduce((all, { left }) => all + left, 0);
	const off = toStockAmount(line.counted ?? 0) - sum;
	const last = parts.findLastIndex(({ left }) => left > 0);
	return { full, parts: parts.map((part, index) => (index === last ? { ...part, left: part.left + off } : part)) };
}

/** Does the line of the shelf still hold what the change takes off it? */
function fits({ place, lotId, amount }: ShelfChange, { sealed, opened }: ShelfLine): boolean {
	if (amount >= 0) return true;
	if (place === 'new') return false;
	const held =
		place === 'sealed'
			? sealed.filter((row) => row.lotId === lotId).reduce((sum, row) => sum + row.count * row.size, 0)
			: (opened.find(({ containerId }) => containerId === place.containerId)?.left ?? 0);
	return held + amount >= 0;
}

async function movementOf(
	{ tx, newId, now }: CommandContext,
	common: Common,
	{ lotId: known, size, place, amount }: ShelfChange,
): Promise<NewMovement> {
	const wanted = { productId: common.productId, packSize: size, batch: null, expires: null };
	const lotId = known ?? (await lotFor(tx, wanted, { id: newId(), now }));
	if (place === 'sealed') return { ...common, amount, lotId, containerId: null };
	if (place !== 'new') return { ...common, amount, lotId, containerId: place.containerId };
	const containerId = newId();
	await addContainer(tx, { id: containerId, lotId, openedAt: common.occurredAt });
	return { ...common, amount, lotId, containerId };
}
