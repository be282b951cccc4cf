import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { ContractRouterClient } from '@orpc/contract';
import { createRouterClient } from '@orpc/server';
import type { Sqlite } from '../../db/connection.ts';
import { openBook } from '../../db/open-book.ts';
import { createRouter } from '../../electron/procedures/router.ts';
import type { contract } from '../../shared/contract/contract.ts';
import { bigBookProducts } from './big-book-products.ts';
import { type BigField, BigStore, type Insert, inserter, MICRO, type Product } from './big-book-store.ts';
import { detailsText, jobDetails, planText } from './big-book-texts.ts';
import { BigYard } from './big-book-yard.ts';

export const SEASONS = 20;
export const FIELDS = 1_000;
export const LAST_SEASON = 2026;
/** Fields of one job, products of one mix, treatments of a field in a season: 60 record lines per field and season. */
const GROUP = 5;
const MIX = 3;
const PASSES = 20;
const FIELD_HA = 10;
const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const NO_HASH = '0'.repeat(64);
const people = { user_id: 'local', device_id: 'local' };

export type BigBook = {
	readonly api: ContractRouterClient<typeof contract>;
	/** The reading connection itself, for SQL without the program. */
	readonly sqlite: Sqlite;
	readonly recordLines: number;
	close(): void;
};

/**
 * Books of 20 seasons on 1,000 fields, 1.2 million record lines with jobs, load logs, ledger, counts and yard books to match, written
 * straight into the tables of a new book in a temporary folder. Numbers run as in a real book; hashes are not reckoned,
 * since no report checks them. The same every time.
 */
export async function writeBigBook(): Promise<BigBook> {
	const folder = mkdtempSync(join(tmpdir(), 'fillmark-bench-'));
	const opened = openBook({ folder });
	if (!opened.ok) throw new Error(opened.problem.code);
	const book = opened.value;
	const api = createRouterClient(createRouter(), { context: { book } }) as ContractRouterClient<typeof contract>;
	const products: Product[] = [];
	for (const { dose, ...product } of bigBookProducts) {
		const { id } = await api.products.add(product);
		products.push({ ...product, dose, id, pack: (product.packSizes[0] ?? 1) * MICRO, lot: '', container: '', left: 0 });
	}
	const sprayers: string[] = [];
	for (const name of ['Trailed', 'Mounted', 'Self-propelled']) {
		sprayers.push((await api.sprayers.add({ name, capacityL: 6000, minimumL: 200 })).id);
	}
	const { sqlite } = book.writer;
	sqlite.prepare("UPDATE farm SET zone = 'UTC'").run();
	// Boundary and field name each other, and a million checks take minutes.
	sqlite.pragma('foreign_keys = OFF');
	sqlite.exec('BEGIN');
	const recordLines = writeSeasons(sqlite, products, sprayers);
	sqlite.exec('COMMIT');
	sqlite.pragma('foreign_keys = ON');
	sqlite.pragma('wal_checkpoint(TRUNCATE)');
	return {
		api,
		sqlite: book.reader,
		recordLines,
		close: () => {
			book.close();
			rmSync(folder, { recursive: true, force: true });
		},
	};
}

type Books = {
	readonly insert: Insert;
	readonly store: BigStore;
	readonly yard: BigYard;
	readonly farmId: string;
	readonly newId: () => string;
	readonly sprayers: readonly string[];
	recordSeq: number;
};

function writeSeasons(sqlite: Sqlite, products: readonly Product[], sprayers: readonly string[]): number {
	const insert = inserter(sqlite);
	const farmId = String(sqlite.prepare('SELECT id FROM farm').pluck().get());
	let id = 0;
	const newId = () => {
		id += 1;
		return `0190-${String(id).padStart(12, '0')}`;
	};
	const store = new BigStore(insert, { farmId, newId });
	const yard = new BigYard(insert, { farmId, newId });
	const books: Books = { insert, store, yard, farmId, newId, sprayers, recordSeq: 0 };
	const fields = Array.from({ length: FIELDS }, (_, index) => writeField(books, index));
	for (let season = LAST_SEASON - SEASONS + 1; season <= LAST_SEASON; season++) {
		const start = Date.UTC(season - 1, 8, 1);
		for (const field of fields) writeCrop(books, field, season);
		for (const product of products) store.stockUp(product, season, start);
		for (let pass = 0; pass < PASSES; pass++) {
			const mix = Array.from({ length: MIX }, (_, place) => products[(pass * MIX + place) % products.length]);
			for (let group = 0; group < FIELDS / GROUP; group++) {
				const passAt = start + (30 + pass * 15) * DAY_MS;
				const at = passAt + (group % 12) * DAY_MS + (6 + (group % 8)) * HOUR_MS;
				const ground = fields.slice(group * GROUP, (group + 1) * GROUP);
				writeJob(books, {
					at,
					passAt,
					season,
					group,
					name: `T${pass + 1} group ${group + 1}`,
					ground,
					mix: mix.flatMap((one) => one ?? []),
				});
			}
		}
	}
	const head = sqlite.prepare('UPDATE chain SET seq = ? WHERE name = ?');
	head.run(books.recordSeq, 'records');
	head.run(store.ledgerSeq, 'ledger');
	return books.recordSeq;
}

/** Fields lie side by side, as on a farm. */
function writeField({ insert, farmId, newId }: Books, index: number): BigField {
	const [fieldId, boundaryId] = [newId(), newId()];
	const m2 = (FIELD_HA + (index % 7) * 0.11) * 10_000;
	const name = `Field ${index + 1}`;
	const [west, south] = [9 + (index % 40) * 0.01, 52 + Math.floor(index / 40) * 0.01];
	const [east, north] = [west + 0.009, south + 0.009];
	insert('field_boundary', {
		id: boundaryId,
		field_id: fieldId,
		geometry: JSON.stringify({
			type: 'Polygon',
			coordinates: [
				[
					[west, south],
					[east, south],
					[east, north],
					[west, south],
				],
			],
		}),
		area_m2: m2,
		sigma_m2: 400,
		perimeter_m: 1400,
		vertex_count: 4,
		west,
		south,
		east,
		north,
		crs: 'EPSG:4326',
		source: 'drawn',
		taken_on: '2006-08-01',
		created_at: 0,
	});
	insert('field', {
		id: fieldId,
		farm_id: farmId,
		name,
		code: `F${index + 1}`,
		mapped_m2: Math.round(m2 * 0.995),
		mapped_step_m2: 100,
		mapped_source: 'register',
		mapped_on: '2006-08-01',
		boundary_id: boundaryId,
		created_at: 0,
		version: 1,
	});
	return { fieldId, m2, name };
}

function writeCrop({ insert, newId }: Books, { fieldId }: BigField, season: number): void {
	insert('cropping', {
		id: newId(),
		field_id: fieldId,
		season,
		crop: 'Winter wheat',
		eppo_code: 'TRZAW',
		sown_on: `${season - 1}-10-05`,
		harvest_on: `${season}-08-10`,
		version: 1,
	});
}

type Work = {
	readonly at: number;
	readonly passAt: number;
	readonly season: number;
	readonly group: number;
	readonly name: string;
	readonly ground: readonly BigField[];
	readonly mix: readonly Product[];
};

/** One job of two loads, with what was logged of it. */
function writeJob(books: Books, work: Work): void {
	const { insert, farmId, newId, sprayers } = books;
	const { at, group, name, ground, mix } = work;
	const jobId = newId();
	const sprayerId = sprayers[group % sprayers.length] ?? '';
	const loads = [ground.slice(0, 3), ground.slice(3)].map((fields, index) => ({
		load: index + 1,
		fields,
		areaHa: fields.reduce((sum, { m2 }) => sum + m2 / 10_000, 0),
	}));
	insert('job', {
		id: jobId,
		farm_id: farmId,
		code: jobId,
		name,
		kind: 'spray in water',
		sprayer_id: sprayerId,
		spray_date: new Date(at).toISOString().slice(0, 10),
		spray_volume: 150,
		details: jobDetails,
		plan: planText(loads, mix),
		created_at: at,
		version: 1,
	});
	for (const [position, { fieldId, m2 }] of ground.entries()) {
		insert('job_field', { job_id: jobId, field_id: fieldId, position, area_m2: m2, area_basis: 'boundary' });
	}
	for (const [position, { id, dose }] of mix.entries()) {
		insert('job_product', { job_id: jobId, product_id: id, position, dose });
	}
	for (const load of loads) writeLoad(books, work, { ...load, jobId });
	books.yard.note({ ...work, jobId, sprayerId });
}

type Load = {
	readonly jobId: string;
	readonly load: number;
	readonly areaHa: number;
	readonly fields: readonly BigField[];
};

function writeLoad(books: Books, work: Work, { jobId, load, areaHa, fields }: Load): void {
	const { insert, store, newId } = books;
	const { at, group, mix } = work;
	const logId = newId();
	const startedAt = at + load * HOUR_MS;
	const finishedAt = startedAt + HOUR_MS;
	insert('load_log', {
		id: logId,
		job_id: jobId,
		load_number: load,
		state: 'complete',
		started_at: startedAt,
		finished_at: finishedAt,
		operator: group % 3 === 0 ? 'B. Reed' : 'A. Marsh',
		metered_l: Math.round(areaHa * 149),
		confirmed: 1,
		details: JSON.stringify({
			products: mix.map((product) => ({ productId: product.id, amount: product.dose * areaHa })),
			ground: fields.map(({ fieldId, m2 }) => ({ fieldId, areaHa: m2 / 10_000 })),
			note: null,
			stopped: null,
		}),
		posted_at: finishedAt,
	});
	const from = { job_id: jobId, load_log_id: logId, load_number: load };
	for (const product of mix) store.draw(product, Math.round(product.dose * areaHa * MICRO), finishedAt, from);
	for (const field of fields) {
		for (const product of mix) writeRecord(books, { field, product, work, from, startedAt, finishedAt });
	}
}

type Line = {
	readonly field: BigField;
	readonly product: Product;
	readonly work: Work;
	readonly from: { readonly job_id: string; readonly load_log_id: string; readonly load_number: number };
	readonly startedAt: number;
	readonly finishedAt: number;
};

function writeRecord(books: Books, { field, product, work, from, startedAt, finishedAt }: Line): void {
	books.recordSeq += 1;
	books.insert('spray_record', {
		id: books.newId(),
		seq: books.recordSeq,
		record_id: books.newId(),
		version: 1,
		state: 'current',
		farm_id: books.farmId,
		...from,
		spray_date: new Date(work.at).toISOString().slice(0, 10),
		season: work.season,
		field_id: field.fieldId,
		field_name: field.name,
		product_id: product.id,
		product_name: product.name,
		unit: product.unit,
		treated_m2: field.m2,
		amount: Math.round((product.dose * field.m2 * MICRO) / 10_000),
		started_at: startedAt,
		finished_at: finishedAt,
		confirmed: 1,
		details: detailsText(product, { at: finishedAt, group: work.group }),
		who: 'A. Marsh',
		written_at: finishedAt,
		hash: NO_HASH,
		...people,
	});
}
