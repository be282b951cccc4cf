import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { createRouterClient } from '@orpc/server';
import { describe, expect, test } from 'vitest';
import { findBrowser, findOnPath } from '../../../../electron/host/browser.ts';
import { createBrowserPrinter } from '../../../../electron/host/browser-printer.ts';
import { pdfPages } from '../../../../electron/paper/pdf-pages.ts';
import { createRouter } from '../../../../electron/procedures/router.ts';
import { type Report, reportNames } from '../../../../shared/contract/season.ts';
import { readCsv } from '../paper/read-csv.ts';
import { readXlsx } from '../paper/read-xlsx.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

const SEASON = { from: '2025-10-01', to: '2026-09-30' };

/** A season: two fields, a mix of two products in two loads, a second pass on one field, a count and a disposal. */
async function season(api: Api) {
	await api.settings.save({
		key: 'farm',
		farmName: '=Brook & "Farm" <b>',
		operator: 'M. Sørensen',
		zone: 'Europe/Warsaw',
	});
	const road = await api.fields.add({ name: 'Łódź Road', mappedHa: 20 });
	const long = await api.fields.add({ name: '=1+1', mappedHa: 10 });
	const flow = await api.products.add({
		name: 'Flow',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		relativeDensity: 1.1,
		actives: [{ substance: 'azoxystrobin', content: 250, contentUnit: 'g/L', modeOfAction: 'FRAC 11' }],
	});
	const grain = await api.products.add({
		name: '-Grain',
		formulation: 'WG',
		unit: 'kg',
		packSizes: [5],
		authorisationNo: 'A-1',
		actives: [
			{ substance: 'Azoxystrobin', content: 10, contentUnit: '%' },
			{ substance: 'captan', content: 40, contentUnit: 'g/L' },
		],
	});
	for (const { id } of [flow, grain]) {
		await api.store.receive({ key: `in ${id}`, productId: id, packSize: 5, packs: 12, date: '2026-03-01' });
	}
	const sprayer = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 400 });
	const spray = async (key: string, date: string, fieldIds: string[], productIds: string[]) => {
		const job = await api.jobs.add({
			key,
			sprayerId: sprayer.id,
			sprayVolumeLPerHa: 200,
			fields: fieldIds.map((fieldId) => ({ fieldId })),
			products: productIds.map((productId) => ({ productId, dosePerHa: 1 })),
			date,
		});
		for (const { load, products } of job.loads) {
			await api.jobs.logLoad({
				key: `${key} ${load}`,
				jobId: job.id,
				load,
				startedAt: `${date}T0${5 + load}:00`,
				finishedAt: `${date}T0${5 + load}:45`,
				operator: 'M. Sørensen',
				actual: { products: products.map(({ productId, amount }) => ({ productId, amount })), meteredL: 1000 * load },
			});
		}
		return job;
	};
	const first = await spray('first', '2026-04-15', [road.id, long.id], [flow.id, grain.id]);
	await spray('second', '2026-05-20', [long.id], [flow.id]);
	await api.store.count({
		key: 'count',
		productId: flow.id,
		counted: 19,
		why: 'half year',
		by: 'M.S.',
		date: '2026-06-30',
	});
	await api.store.post({
		key: 'gone',
		productId: grain.id,
		kind: 'disposal',
		amount: 5,
		date: '2026-07-01',
		why: 'wet',
		by: 'M.S.',
	});
	return { first, flow, grain };
}

function readable(report: Report, keys: readonly string[]): unknown[][] {
	return report.rows.map((row) => keys.map((key) => row[key]));
}

const read = (api: Api, report: string) => api.season.read({ report, ...SEASON });

describe('what the reports say', () => {
	test('a corrected line stays with the mix it was part of, in both diaries and the US list', async () => {
		const { api } = testBooks();
		const { flow, grain } = await season(api);
		const fields = await api.fields.list({});
		const [sprayer] = await api.sprayers.list({});
		if (!sprayer) throw new Error('no sprayer');
		const job = await api.jobs.add({
			key: 'one load over two fields',
			sprayerId: sprayer.id,
			sprayVolumeLPerHa: 100,
			fields: fields.map(({ id }) => ({ fieldId: id })),
			products: [flow, grain].map(({ id }) => ({ productId: id, dosePerHa: 0.1 })),
			date: '2026-06-02',
		});
		await api.jobs.logLoad({
			key: 'its load',
			jobId: job.id,
			load: 1,
			startedAt: '2026-06-02T06:00',
			finishedAt: '2026-06-02T06:45',
			operator: 'M. Sørensen',
		});
		const reports = ['spray diary', 'diary by field', 'US application list'];
		const order = async () =>
			Promise.all(
				reports.map(async (name) => readable(await read(api, name), ['date', 'startedAt', 'field', 'product'])),
			);
		const before = await order();
		const [line, ...others] = await api.records.list({ from: '2026-06-02', to: '2026-06-02' });
		if (others.length !== 3 || !line) throw new Error('not the four lines of the load');
		await api.records.correct({
			key: 'fix',
			id: line.id,
			version: line.version,
			why: 'read again',
			by: 'M.S.',
			growthStage: '31',
		});
		for (const rows of [...before, ...(await order())]) {
			const treatments = rows.map(([date, startedAt, field]) => `${date} ${startedAt} ${field}`);
			expect(treatments.filter((each, index) => each !== treatments[index - 1])).toHaveLength(new Set(treatments).size);
		}
	});

	test('product totals: amount, mass, ground by pass and once', async () => {
		const { api } = testBooks();
		await season(api);
		const report = await read(api, 'product totals');
		expect(readable(report, ['product', 'amount', 'unit', 'kg', 'treatedHa', 'basicHa', 'passes'])).toEqual([
			['-Grain', 30, 'kg', 30, 30, 30, 2],
			['Flow', 40, 'L', expect.closeTo(44, 9), 40, 30, 3],
		]);
	});

	test('active substances are summed over products and spellings; a mix counts its ground once', async () => {
		const { api } = testBooks();
		await season(api);
		const report = await read(api, 'active substance totals');
		expect(readable(report, ['substance', 'modeOfAction', 'kg', 'treatedHa', 'basicHa', 'passes', 'products'])).toEqual(
			[['Azoxystrobin', 'FRAC 11', expect.closeTo(40 * 0.25 + 30 * 0.1, 9), 40, 30, 3, '-Grain, Flow']],
		);
		expect(report.notes).toEqual(['Not counted, the relative density is missing: captan in -Grain.']);
	});

	test('stock statement: the line adds up and names the last count', async () => {
		const { api } = testBooks();
		await season(api);
		const report = await read(api, 'stock statement');
		const keys = [
			'product',
			'opening',
			'delivered',
			'used',
			'otherOut',
			'counted',
			'closing',
			'countedOn',
			'difference',
		];
		expect(readable(report, keys)).toEqual([
			['-Grain', 0, 60, 30, 5, 0, 25, null, null],
			['Flow', 0, 60, 40, 0, -1, 19, '2026-06-30', -1],
		]);
	});

	test('container statement: packs in, poured, opened, emptied', async () => {
		const { api } = testBooks();
		await season(api);
		const report = await read(api, 'container statement');
		for (const row of report.rows) {
			const { atStart, received, pouredWhole, opened, other, atEnd } = row as Record<string, number>;
			expect(atEnd).toBe(Number(atStart) + Number(received) - Number(pouredWhole) - Number(opened) + Number(other));
		}
		expect(readable(report, ['product', 'size', 'received', 'atEnd', 'stillOpen', 'emptied'])).toEqual([
			['-Grain', 5, 12, 5, 0, 6],
			['Flow', 5, 12, 3, 1, 8],
		]);
	});

	test('container statement: what was collected in the period, by product where it was told', async () => {
		const { api } = testBooks();
		await season(api);
		const { products } = await api.waste.empties({});
		const flow = products.find(({ product }) => product === 'Flow');
		const rinsed = { kind: 'rinsed containers', size: 5, unit: 'L', pieces: 2 } as const;
		const carrier = { carrier: 'Carrier', registrationNo: 'C-1', by: 'J. Wren' };
		const lines = [rinsed, { ...rinsed, pieces: 3, productId: flow?.productId ?? '' }];
		await api.waste.collect({ key: 'in', date: '2026-09-01', noteNo: 'N-1', ...carrier, lines });
		await api.waste.collect({ key: 'after', date: '2026-10-02', noteNo: 'N-2', ...carrier, lines: [rinsed] });
		const report = await read(api, 'container statement');
		expect(readable(report, ['product', 'size', 'unit', 'emptied', 'collected', 'waiting'])).toEqual([
			['-Grain', 5, 'kg', 6, 0, 6],
			['Flow', 5, 'L', 8, 3, 5],
			['not told by product', 5, 'L', undefined, 2, -2],
		]);
		const later = await api.season.read({ report: 'container statement', from: '2026-10-01', to: '2026-12-31' });
		const waits = (row: (typeof later.rows)[number]) => [
			row['product'],
			row['emptied'],
			row['collected'],
			row['waiting'],
		];
		expect(later.rows.map(waits)).toEqual([
			['-Grain', 0, 0, 6],
			['Flow', 0, 0, 5],
			['not told by product', undefined, 2, -4],
		]);
		// The same as the page Empties says today.
		const { sizes } = await api.waste.empties({});
		expect(sizes.map(({ size, unit, waiting }) => [size, unit, waiting])).toEqual([
			[5, 'kg', 6],
			[5, 'L', 1],
		]);
	});

	test('area statement: mapped, loaded for, treated by pass and once', async () => {
		const { api } = testBooks();
		await season(api);
		const report = await read(api, 'area statement');
		expect(
			readable(report, ['field', 'mappedHa', 'measuredHa', 'loadForHa', 'loadedForHa', 'treatedHa', 'basicHa']),
		).toEqual([
			['=1+1', 10, null, 10, 20, 20, 10],
			['Łódź Road', 20, null, 20, 20, 20, 20],
		]);
		expect(report.totals).toMatchObject({ field: 'total', mappedHa: 30, measuredHa: null, treatedHa: 40 });
		expect(report.notes.join(' ')).not.toContain('Not listed');
		// A field that is a name so far says nothing here; it is counted, not listed.
		for (const name of ['New ground', 'Newer ground']) await api.fields.add({ name });
		const later = await read(api, 'area statement');
		expect([later.rows, later.totals]).toEqual([report.rows, report.totals]);
		expect(later.notes.at(-1)).toBe(
			'Not listed: 2 fields without an area on the books and without ground loaded for or treated in this period.',
		);
	});

	test('logs and diaries have a line for every load and record that stands', async () => {
		const { api } = testBooks();
		const { first } = await season(api);
		expect((await read(api, 'spray diary')).rows).toHaveLength(5);
		expect(readable(await read(api, 'operator log'), ['date', 'load', 'state', 'areaHa', 'meteredL'])).toEqual([
			['2026-04-15', '1 of 2', 'complete', 20, 1000],
			['2026-04-15', '2 of 2', 'complete', 10, 2000],
			['2026-05-20', '1 of 1', 'complete', 10, 1000],
		]);
		await api.jobs.reverseLoad({ key: 'back', jobId: first.id, load: 2, why: 'wrong', by: 'M.S.' });
		const diary = await read(api, 'diary by field');
		expect(diary.rows).toHaveLength(3);
		expect(diary.notes).toContain('2 records of this period were taken back and are not listed.');
		expect((await read(api, 'sprayer log')).rows).toHaveLength(2);
	});

	test('the newest entries of both chains stand on every report', async () => {
		const { api } = testBooks();
		await season(api);
		const { chains } = await api.records.verify({});
		const { heads } = await read(api, 'stock counts');
		expect(heads.map(({ chain, hash }) => [chain, hash])).toEqual(
			chains.filter(({ chain }) => chain !== 'audit').map(({ chain, head }) => [chain, head]),
		);
	});
});

describe('how they are written', () => {
	test.each(reportNames)('%s: JSON, CSV and XLSX hold the same rows', async (name) => {
		const { api, folder } = testBooks();
		await season(api);
		const written = async (format: 'json' | 'csv' | 'xlsx') => {
			const { path, rows } = await api.season.report({ report: name, format, ...SEASON });
			expect(path.startsWith(join(folder, 'exports'))).toBe(true);
			return { bytes: readFileSync(path), rows };
		};
		const json = await written('json');
		const report = JSON.parse(json.bytes.toString('utf8')) as Report;
		const records = readCsv((await written('csv')).bytes.toString('utf8'));
		const [sheet] = readXlsx((await written('xlsx')).bytes);
		expect(report.rows.length).toBe(json.rows);
		expect(records.length - 1).toBe(json.rows);
		expect((sheet?.rows.length ?? 0) - 1 - (report.totals ? 1 : 0)).toBe(json.rows);
		for (const [index, row] of report.rows.entries()) {
			for (const [place, { key, kind }] of report.columns.entries()) {
				if (kind !== 'number' || row[key] === null) continue;
				expect(Number(records[index + 1]?.[place])).toBeCloseTo(Number(row[key]), 6);
				expect(sheet?.rows[index + 1]?.[place]).toEqual({ type: 'number', value: row[key] });
			}
		}
	});

	test('an empty season is a report with no rows', async () => {
		const { api } = testBooks();
		const { path, rows } = await api.season.report({ report: 'spray diary', format: 'csv', ...SEASON });
		expect(rows).toBe(0);
		expect(readCsv(readFileSync(path, 'utf8'))).toHaveLength(1);
	});

	test('a path asked for is used and may be written again; the name may be joined any way', async () => {
		const { api, folder } = testBooks();
		const path = join(folder, 'new', 'totals.csv');
		for (const report of ['product totals', 'product-totals', 'productTotals']) {
			expect(await api.season.report({ report, format: 'csv', ...SEASON, path })).toEqual({ path, rows: 0 });
		}
		expect(readdirSync(join(folder, 'new'))).toEqual(['totals.csv']);
	});

	test('what cannot be done is refused, and nothing is left behind', async () => {
		const { api, folder } = testBooks();
		const wish = { report: 'spray diary', format: 'csv', ...SEASON } as const;
		mkdirSync(join(folder, 'taken'));
		writeFileSync(join(folder, 'file'), 'kept');
		expect(await refusal(api.season.report({ ...wish, report: 'nothing of the kind' }))).toMatchObject({
			code: 'report.unknown',
		});
		expect(await refusal(api.season.report({ ...wish, from: '2026-10-01' }))).toMatchObject({
			code: 'period.reversed',
		});
		expect(await refusal(api.season.report({ ...wish, format: 'pdf' }))).toMatchObject({ code: 'pdf.noBrowser' });
		expect(await refusal(api.season.report({ ...wish, path: join(folder, 'taken') }))).toMatchObject({
			code: 'file.notWritten',
		});
		expect(await refusal(api.season.report({ ...wish, path: join(folder, 'file', 'x.csv') }))).toMatchObject({
			code: 'file.notWritten',
		});
		expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('kept');
		expect(readdirSync(folder).filter((name) => name.includes('unfinished'))).toEqual([]);
		expect(existsSync(join(folder, 'exports'))).toBe(false);
	});
});

describe.skipIf(findBrowser() === null)('on paper (skipped where no browser is installed)', () => {
	const withPrinter = (books: ReturnType<typeof testBooks>) =>
		createRouterClient(createRouter(), { context: { book: books.book, printer: createBrowserPrinter() } }) as Api;

	test('a report is a PDF with its proof on every page', async () => {
		const books = testBooks();
		await season(books.api);
		const api = withPrinter(books);
		const { path, rows } = await api.season.report({ report: 'spray diary', format: 'pdf', ...SEASON });
		expect(rows).toBe(5);
		const reader = findOnPath('pdftotext');
		if (!reader) return expect(pdfPages(readFileSync(path))).toBe(1);
		const text = execFileSync(reader, ['-layout', path, '-'], { encoding: 'utf8' }).replace(/\s+/g, '');
		const { heads } = await api.season.read({ report: 'spray diary', ...SEASON });
		const wanted = [
			'Łódź Road',
			'=1+1',
			'-Grain',
			'=Brook & "Farm" <b>',
			'Sørensen',
			'page 1 of 1',
			'the label and local law come first',
			...heads.map(({ chain, seq, hash }) => `${chain} ${seq} · ${hash.slice(0, 16)}`),
		];
		for (const part of wanted) expect(text).toContain(part.replace(/\s+/g, ''));
	});

	test('every load has its card, in a file named after the job', async () => {
		const books = testBooks();
		const { first } = await season(books.api);
		const api = withPrinter(books);
		const all = await api.jobs.printCard({ jobId: first.id });
		expect(all.pages).toBe(first.loads.length);
		expect(basename(all.path)).toMatch(/^2026-04-15 load card [A-Z0-9]{5} all loads\.pdf$/);
		const path = join(books.folder, 'one.pdf');
		expect(await api.jobs.printCard({ jobId: first.id, load: 2, paper: 'A5', path })).toEqual({ path, pages: 1 });
		expect(await refusal(api.jobs.printCard({ jobId: first.id, load: 3 }))).toMatchObject({ code: 'load.unknown' });
	});
});
