import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import { openDb } from '../../db/connection.ts';
import { readFarm } from '../../db/modules/settings.ts';
import { addContainer, lotFor, type NewMovement, post } from '../../db/modules/store.ts';
import { type Book, openBook } from '../../db/open-book.ts';
import { inTransaction } from '../../db/transaction.ts';
import { createRouter } from '../../electron/procedures/router.ts';
import type { contract } from '../../shared/contract/contract.ts';
import { type BenchRow, bestMsOf } from './row.ts';

type Api = ContractRouterClient<typeof contract>;

const MOVEMENTS = 50_000;
const PRODUCTS = 60;
const PACK = 5_000_000;
const POUR = 1_700_000;
const MINUTE_MS = 60_000;
const YEAR_MS = 365 * 24 * 60 * MINUTE_MS;
/** What the ledger page shows at once. */
const LINES = 2000;

/** The three store pages over a year of 50,000 movements, each beside the sums it rests on as plain SQL on a bare connection. */
export async function storeRows(): Promise<BenchRow[]> {
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-bench-'));
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(opened.problem.code);
	const book = opened.value;
	const bare = openDb(book.file, { readonly: true });
	try {
		const api = createRouterClient(createRouter(), { context: { book } }) as Api;
		await inventYear(book, api);
		const sums = bare.prepare(
			'SELECT product_id, lot_id, container_id, sum(amount) FROM movement GROUP BY product_id, lot_id, container_id',
		);
		const byProduct = bare.prepare('SELECT product_id, sum(amount) FROM movement GROUP BY product_id');
		const newest = bare.prepare('SELECT * FROM movement ORDER BY occurred_at DESC, seq DESC LIMIT ?');
		const most = bare.prepare(
			`SELECT max(standing) FROM (
				SELECT sum(amount) OVER (ORDER BY occurred_at, seq ROWS UNBOUNDED PRECEDING) AS standing FROM movement
			)`,
		);
		const row = async (page: string, ask: () => Promise<unknown>, plain: () => unknown): Promise<BenchRow> => {
			const ours = await bestMsOf(ask);
			const reference = await bestMsOf(async () => plain());
			return {
				name: `${page}, ${MOVEMENTS} movements`,
				...{ ours, reference, ratio: ours / reference },
				note: 'beside its plain SQL on a bare connection',
			};
		};
		return [
			await row(
				'on hand',
				() => api.store.onHand({}),
				() => sums.all(),
			),
			await row(
				`ledger, newest ${LINES} lines`,
				() => api.store.movements({ limit: LINES }),
				() => [newest.all(LINES), byProduct.all()],
			),
			await row(
				'empties',
				() => api.waste.empties({}),
				() => sums.all(),
			),
			await row(
				'to watch',
				() => api.store.watch({}),
				() => [sums.all(), most.get()],
			),
		];
	} finally {
		bare.close();
		book.close();
		rmSync(folder, { recursive: true, force: true });
	}
}

/** A year in which every product is delivered, opened and poured again and again. The same every time but for the clock. */
async function inventYear(book: Book, api: Api): Promise<void> {
	const productIds: string[] = [];
	for (let index = 0; index < PRODUCTS; index++) {
		const { id } = await api.products.add({
			name: `Invented ${index + 1}`,
			...{ formulation: 'SC', unit: 'L' as const, packSizes: [5] },
		});
		productIds.push(id);
	}
	const from = Date.now() - YEAR_MS;
	let made = 0;
	const newId = () => `bench-${made++}`;
	await inTransaction(
		book.writer,
		async (tx) => {
			const farm = await readFarm(tx);
			const cans = new Map<string, { containerId: string; lotId: string; left: number }>();
			for (let posted = 0, event = 0; posted < MOVEMENTS; event++) {
				const productId = productIds[event % PRODUCTS] ?? '';
				const occurredAt = from + Math.floor((posted / MOVEMENTS) * YEAR_MS);
				const common = { productId, storeId: null, occurredAt, who: 'A. Marsh' };
				const rows: NewMovement[] = [];
				let can = cans.get(productId);
				if (!can || can.left < POUR) {
					const batch = `B${Math.floor(event / (PRODUCTS * 40))}`;
					const lotId = await lotFor(
						tx,
						{ productId, packSize: PACK, batch, expires: null },
						{ id: newId(), now: occurredAt },
					);
					if (can && can.left > 0)
						rows.push({ ...common, kind: 'spill', amount: -can.left, lotId: can.lotId, containerId: can.containerId });
					can = { containerId: newId(), lotId, left: PACK };
					await addContainer(tx, { id: can.containerId, lotId, openedAt: occurredAt });
					cans.set(productId, can);
					rows.push(
						{ ...common, kind: 'delivery', amount: 2 * PACK, lotId, containerId: null },
						{ ...common, kind: 'opening', amount: -PACK, lotId, containerId: null },
						{ ...common, kind: 'opening', amount: PACK, lotId, containerId: can.containerId },
						{ ...common, kind: 'return', amount: -PACK, lotId, containerId: null },
					);
				}
				can.left -= POUR;
				rows.push({ ...common, kind: 'load', amount: -POUR, lotId: can.lotId, containerId: can.containerId });
				await post(tx, { farm, now: occurredAt, newId }, rows);
				posted += rows.length;
			}
		},
		() => true,
	);
}
