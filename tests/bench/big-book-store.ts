import type { Sqlite } from '../../db/connection.ts';
import type { Sprayed } from './big-book-products.ts';

export const MICRO = 1_000_000;
const DAY_MS = 86_400_000;
const DELIVERIES = 10;
const COUNTS = 4;

export type BigField = { readonly fieldId: string; readonly m2: number; readonly name: string };
export type Product = Sprayed & {
	readonly id: string;
	readonly pack: number;
	lot: string;
	container: string;
	left: number;
};

type Row = Readonly<Record<string, string | number | null>>;
export type Insert = (table: string, row: Row) => void;

/** Inserts by the columns each row names, prepared once a table and set of columns. */
export function inserter(sqlite: Sqlite): Insert {
	const statements = new Map<string, ReturnType<Sqlite['prepare']>>();
	return (table, row) => {
		const names = Object.keys(row);
		const key = `${table} ${names.length}`;
		const statement =
			statements.get(key) ??
			sqlite.prepare(
				`INSERT INTO ${table} (${names.join(', ')}) VALUES (${names.map((name) => `@${name}`).join(', ')})`,
			);
		statements.set(key, statement);
		statement.run(row);
	};
}

/** The ledger of a big book: deliveries, whole packs poured, containers opened and emptied, counts. */
export class BigStore {
	readonly #insert: Insert;
	readonly #farmId: string;
	readonly #newId: () => string;
	ledgerSeq = 0;

	constructor(insert: Insert, { farmId, newId }: { readonly farmId: string; readonly newId: () => string }) {
		this.#insert = insert;
		this.#farmId = farmId;
		this.#newId = newId;
	}

	stockUp(product: Product, season: number, start: number): void {
		product.lot = this.#newId();
		product.left = 0;
		this.#insert('lot', {
			id: product.lot,
			product_id: product.id,
			pack_size: product.pack,
			batch: `B${season}`,
			expires: `${season + 2}-06-30`,
			created_at: start,
		});
		for (let month = 0; month < DELIVERIES; month++) {
			const document = { document: `N${season}-${month}` };
			this.#move(product, 'delivery', 400 * product.pack, start + month * 30 * DAY_MS, document);
		}
		for (let count = 1; count <= COUNTS; count++) {
			const at = start + count * 80 * DAY_MS;
			this.#insert('stock_count', {
				id: this.#newId(),
				product_id: product.id,
				freeze_at: at,
				counted: 100 * product.pack,
				book: 100 * product.pack,
				likely: product.pack / 20,
				why: 'quarterly count',
				who: 'A. Marsh',
				posted_at: at,
			});
		}
	}

	/** What is left in the open container, whole packs, then a newly opened one. */
	draw(product: Product, wanted: number, at: number, load: Row): void {
		let amount = wanted;
		if (product.left < amount) {
			if (product.left > 0)
				this.#move(product, 'load', -product.left, at, { ...load, container_id: product.container });
			amount -= product.left;
			const packs = Math.floor(amount / product.pack);
			if (packs > 0) this.#move(product, 'load', -packs * product.pack, at, load);
			amount -= packs * product.pack;
			product.container = this.#newId();
			product.left = product.pack;
			this.#insert('container', { id: product.container, lot_id: product.lot, opened_at: at });
			this.#move(product, 'opening', -product.pack, at);
			this.#move(product, 'opening', product.pack, at, { container_id: product.container });
		}
		if (amount > 0) this.#move(product, 'load', -amount, at, { ...load, container_id: product.container });
		product.left -= amount;
	}

	#move(product: Product, kind: string, amount: number, at: number, beside: Row = {}): void {
		this.ledgerSeq += 1;
		this.#insert('movement', {
			id: this.#newId(),
			seq: this.ledgerSeq,
			farm_id: this.#farmId,
			event_id: `event ${this.ledgerSeq}`,
			product_id: product.id,
			kind,
			amount,
			lot_id: product.lot,
			occurred_at: at,
			posted_at: at,
			who: 'A. Marsh',
			user_id: 'local',
			device_id: 'local',
			hash: '0'.repeat(64),
			document: null,
			container_id: null,
			job_id: null,
			load_log_id: null,
			load_number: null,
			...beside,
		});
	}
}
