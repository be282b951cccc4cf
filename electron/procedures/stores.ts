import type { z } from 'zod';
import { openTake } from '../../db/modules/stock-takes.ts';
import { amountsByStore, type StoreId } from '../../db/modules/store.ts';
import { type StoreStored, saveStore, storedStores } from '../../db/modules/store-list.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { InStore, Store, storeListContract } from '../../shared/contract/store-list.ts';
import { checkPlan } from '../../shared/core/store/store-plan.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import type { CommandContext, QueryContext } from './handler.ts';

type Input<Name extends keyof typeof storeListContract> = z.output<
	(typeof storeListContract)[Name]['~orpc']['inputSchema'] & z.ZodType
>;
type Farm = Pick<QueryContext['farm'], 'id'>;

const FIRST_NAME = 'Main store';

export async function stores({ db, farm }: QueryContext): Promise<Result<Store[]>> {
	return ok(await storesOf(db, farm));
}

/** Every store of the farm, the first on top; it is there before anybody entered anything about it. */
export async function storesOf(db: ReadDb, farm: Farm): Promise<Store[]> {
	const rows = (await storedStores(db)).map((row) => wireStore(row, farm));
	const first = rows.find((store) => store.first) ?? {
		...{ storeId: farm.id, name: FIRST_NAME, first: true, place: '', contacts: '', bundL: null, sensitive: false },
		...{ plan: null, closed: false, version: 0 },
	};
	return [first, ...rows.filter((store) => !store.first)];
}

/** Stores in use. */
export async function openStores(db: ReadDb, farm: Farm): Promise<Store[]> {
	return (await storesOf(db, farm)).filter(({ closed }) => !closed);
}

/** A store as the ledger names it. Left out: the first. One that is closed takes and gives nothing. */
export async function storeSaid(db: ReadDb, farm: Farm, storeId: string | undefined): Promise<Result<StoreId>> {
	if (storeId === undefined || storeId === farm.id) return ok(null);
	const found = (await storesOf(db, farm)).find((store) => store.storeId === storeId);
	if (!found) return refuse('not.found', { what: 'store', id: storeId });
	return found.closed ? refuse('store.closed', { store: found.name }) : ok(storeId);
}

/** As the ledger names it, whether it is in use or not. */
export function storeInLedger(farm: Farm, storeId: string | null | undefined): StoreId {
	return storeId === farm.id ? null : (storeId ?? null);
}

/** As it is named to those who ask. */
export function storeToldOf(farm: Farm, storeId: StoreId): string {
	return storeId ?? farm.id;
}

/** What each store holds, by product; `but` leaves one out. */
export async function heldByStore(
	db: ReadDb,
	farm: Farm,
	{ productIds, but }: { productIds?: readonly string[]; but?: StoreId } = {},
): Promise<Map<string, InStore[]>> {
	const all = await storesOf(db, farm);
	const held = new Map<string, InStore[]>();
	const rows = await amountsByStore(db, productIds);
	for (const { storeId, name } of all) {
		const inLedger = storeInLedger(farm, storeId);
		if (inLedger === but) continue;
		for (const row of rows.filter((each) => each.storeId === inLedger)) {
			const line = { storeId, store: name, amount: fromStockAmount(row.amount) };
			held.set(row.productId, [...(held.get(row.productId) ?? []), line]);
		}
	}
	return held;
}

/** Other stores that hold something of a product, in words: `North barn 40 L`. */
export function heldInWords(held: readonly InStore[] | undefined, unit: string): string {
	return (held ?? [])
		.filter(({ amount }) => amount > 0)
		.map(({ store, amount }) => `${store} ${Number(amount.toFixed(3))} ${unit}`)
		.join(', ');
}

export async function addStore(context: CommandContext, input: Input<'addStore'>): Promise<Result<Store>> {
	const { tx, farm, newId, note } = context;
	const twice = await nameTaken(tx, farm, input.name, null);
	if (twice) return twice;
	const { name, place, contacts, bundL, sensitive } = input;
	const next: Store = {
		...{ storeId: newId(), name, first: false, place, contacts, bundL, sensitive },
		...{ plan: null, closed: false, version: 1 },
	};
	await saveStore(tx, rowOf(next, farm), true);
	note({ table: 'store', id: next.storeId, before: null, after: JSON.stringify(next) });
	return ok(next);
}

export async function saveSite(context: CommandContext, input: Input<'saveSite'>): Promise<Result<Store>> {
	const { tx, farm, note } = context;
	const before = (await storesOf(tx, farm)).find(({ storeId }) => storeId === (input.storeId ?? farm.id));
	if (!before) return refuse('not.found', { what: 'store', id: input.storeId ?? '' });
	if (before.version !== input.version) return refuse('row.changed', { what: 'the store' });
	const { place, contacts, bundL, sensitive, name = before.name, closed = before.closed } = input;
	const twice = await nameTaken(tx, farm, name, before.storeId);
	if (twice) return twice;
	const plan = input.plan === undefined ? before.plan : input.plan;
	const checked = plan && checkPlan(plan);
	if (checked && !checked.ok) return checked;
	const inUse = closed && !before.closed ? await stillInUse(tx, farm, before) : null;
	if (inUse) return inUse;
	const next: Store = { ...before, name, place, contacts, bundL, sensitive, plan, closed, version: before.version + 1 };
	await saveStore(tx, rowOf(next, farm), before.version === 0);
	note({ table: 'store', id: next.storeId, before: JSON.stringify(before), after: JSON.stringify(next) });
	return ok(next);
}

async function nameTaken(tx: ReadDb, farm: Farm, name: string, own: string | null) {
	const same = (await storesOf(tx, farm)).find(
		(store) => store.storeId !== own && store.name.toLowerCase() === name.toLowerCase(),
	);
	return same ? refuse('store.nameTwice', { store: same.name }) : null;
}

/** A store is closed when it is empty and nobody counts it; the first is where everything goes that names none. */
async function stillInUse(tx: ReadDb, farm: Farm, { storeId, name, first }: Store) {
	if (first) return refuse('input.invalid', { path: 'closed', why: 'the first store stays in use' });
	const held = (await amountsByStore(tx)).filter((row) => row.storeId === storeId);
	if (held.length > 0) return refuse('store.notEmpty', { store: name, products: held.length });
	const take = await openTake(tx, storeInLedger(farm, storeId));
	return take ? refuse('stockTake.openAlready', { by: take.take.openedBy }) : null;
}

function wireStore(row: StoreStored, farm: Farm): Store {
	const { id, name, place, contacts, bundL, sensitive, closed, version } = row;
	const plan = row.plan === null ? null : (JSON.parse(row.plan) as NonNullable<Store['plan']>);
	return {
		...{ storeId: id, name, first: id === farm.id, place, contacts, bundL, sensitive: sensitive === 1, plan },
		...{ closed: closed === 1, version },
	};
}

function rowOf({ storeId, first: _, plan, ...store }: Store, farm: Farm): StoreStored {
	return {
		...store,
		id: storeId,
		farmId: farm.id,
		sensitive: store.sensitive ? 1 : 0,
		closed: store.closed ? 1 : 0,
		plan: plan && JSON.stringify(plan),
	};
}

type Short = {
	readonly productId: string;
	readonly storeId: StoreId;
	readonly product: string;
	readonly unit: string;
	readonly have: number;
	readonly need: number;
};

/** A store holds too little: says which other one holds some. */
export async function shortInStore({ tx, farm }: CommandContext, { storeId, ...short }: Short) {
	const all = await storesOf(tx, farm);
	const held = await heldByStore(tx, farm, { productIds: [short.productId], but: storeId });
	const elsewhere = heldInWords(held.get(short.productId), short.unit);
	if (elsewhere === '') return refuse('store.short', short);
	const store = all.find((each) => each.storeId === storeToldOf(farm, storeId))?.name ?? '';
	return refuse('store.shortHere', { ...short, store, elsewhere });
}
