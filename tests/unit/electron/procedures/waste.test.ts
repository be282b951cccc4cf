import { expect, test } from 'vitest';
import { randomStore } from './random-store.ts';
import { type Api, refusal, smallFarm, testBooks } from './test-books.ts';

async function sprayed(api: Api) {
	const farm = await smallFarm(api);
	const job = await api.jobs.add({
		key: 'job',
		name: 'Weeds',
		sprayerId: farm.sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId: farm.fieldId }],
		products: [
			{ productId: farm.suspensionId, dosePerHa: 1.05 },
			{ productId: farm.granuleId, dosePerHa: 0.1 },
		],
	});
	const log = (key: string) =>
		api.jobs.logLoad({
			key,
			jobId: job.id,
			load: 1,
			operator: 'A. Marsh',
			startedAt: '2026-04-01T09:00:00',
			finishedAt: '2026-04-01T10:00:00',
		});
	return { ...farm, jobId: job.id, log };
}

/**
 * delivered + found = full + opened + waiting + collected + passed on + missing, for every size and every product; and
 * for each size the products with what was not told make the whole.
 */
async function unbalanced(api: Api) {
	const { sizes, products } = await api.waste.empties({});
	const lines = [...sizes, ...products].filter(
		(line) =>
			line.delivered + line.found !==
			line.full + line.opened + line.waiting + line.collected + line.passedOn + line.missing,
	);
	const names = ['delivered', 'found', 'full', 'opened', 'waiting', 'collected', 'passedOn', 'missing'] as const;
	const parts = sizes.filter(({ size, unit, notTold, ...whole }) => {
		const own = products.filter((line) => line.size === size && line.unit === unit);
		const rest: Partial<Record<(typeof names)[number], number>> = notTold;
		return names.some((name) => own.reduce((sum, line) => sum + line[name], rest[name] ?? 0) !== whole[name]);
	});
	return [...lines, ...parts];
}

const five = async (api: Api) =>
	(await api.waste.empties({})).sizes.find(({ size, unit }) => size === 5 && unit === 'L');
const carrier = { carrier: 'Licensed carrier', registrationNo: 'CBDU 1', date: '2026-05-01', by: 'J. Wren' };

test('containers a load emptied wait, and a collection takes them away with its note', async () => {
	const { api, book } = testBooks();
	const { log } = await sprayed(api);
	await log('log');
	// 42 L: eight cans of 5 L whole, the ninth opened with 3 L left; 4 kg in four boxes.
	expect(await five(api)).toMatchObject({ delivered: 12, full: 3, opened: 1, emptied: 8, waiting: 8, missing: 0 });
	const [load] = (await api.waste.empties({})).loads;
	expect(load).toMatchObject({
		job: 'Weeds',
		load: 1,
		containers: [
			{ size: 5, unit: 'L', pieces: 8 },
			{ size: 1, unit: 'kg', pieces: 4 },
		],
		rinsed: null,
	});
	await api.waste.noteRinse({ key: 'r', loadLogIds: [load?.loadLogId ?? ''], how: 'pressure', by: 'A. Marsh' });
	await api.waste.closeBag({ key: 'b', by: 'A. Marsh' });
	const lines = [
		{ kind: 'rinsed containers', size: 5, unit: 'L', pieces: 8 },
		{ kind: 'rinsed containers', size: 1, unit: 'kg', pieces: 4 },
	] as const;
	const collect = (key: string, noteNo: string, what: Parameters<Api['waste']['collect']>[0]['lines'], more = false) =>
		api.waste.collect({ key, noteNo, lines: what, allowMore: more, ...carrier });
	const done = await collect('c', 'W 17', [...lines]);
	expect(done.keepUntil).toBe('2028-05-01');
	expect((await collect('d', 'W 18', [{ kind: 'caps and foils', pieces: 1 }])).keepUntil).toBe('2029-05-01');
	expect(await five(api)).toMatchObject({ waiting: 0, collected: 8, missing: 0 });
	expect((await refusal(collect('e', 'w 17', [...lines]))).code).toBe('waste.noteTwice');
	expect(await refusal(collect('f', 'W 19', [lines[0]]))).toEqual({
		code: 'waste.moreThanWaiting',
		details: { what: '5 L containers', waiting: 0, pieces: 8 },
	});
	await collect('g', 'W 19', [lines[0]], true);
	expect(await five(api)).toMatchObject({ collected: 16, missing: -8 });
	expect(await unbalanced(api)).toEqual([]);
	const [wrong] = (await api.waste.empties({})).collections.filter(({ noteNo }) => noteNo === 'W 19');
	await api.waste.takeBack({ key: 't', collectionId: wrong?.id ?? '', why: 'counted twice', by: 'J. Wren' });
	expect((await refusal(api.waste.takeBack({ key: 'u', collectionId: wrong?.id ?? '', why: 'x', by: 'J' }))).code).toBe(
		'waste.takenBack',
	);
	expect(await five(api)).toMatchObject({ collected: 8, missing: 0 });
	expect(() => book.writer.sqlite.exec('DELETE FROM waste_collection')).toThrow('the waste account only grows');
	expect(() => book.writer.sqlite.exec('UPDATE waste_collection_line SET pieces = 1')).toThrow('only grows');
});

test('a reversed load, a return, a spill and a stock take keep the account whole', async () => {
	const { api } = testBooks();
	const { log, jobId, suspensionId } = await sprayed(api);
	await log('log');
	await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'wrong job', by: 'J. Wren' });
	expect(await five(api)).toMatchObject({ full: 12, opened: 0, emptied: 0, passedOn: 0, waiting: 0, missing: 0 });
	expect((await api.waste.empties({})).loads).toEqual([]);
	await log('again');
	const other = { productId: suspensionId, why: 'test', by: 'J. Wren' };
	await api.store.post({ key: 'p', kind: 'return', amount: 5, ...other });
	await api.store.post({ key: 'q', kind: 'loan', amount: -10, ...other });
	const { id: takeId } = await api.store.openStockTake({ key: 'open', by: 'J. Wren' });
	await api.store.enterCount({
		key: 'c',
		takeId,
		productId: suspensionId,
		by: 'J. Wren',
		full: [{ size: 5, count: 2 }],
		parts: [{ how: 'level', size: 5, amount: 1 }],
	});
	await api.store.settleDifference({
		...{ key: 's', takeId, productId: suspensionId },
		...{ verdict: 'accepted', why: 'not found', by: 'J. Wren' },
	});
	await api.store.approveStockTake({ key: 'y', takeId, by: 'J. Wren' });
	expect(await five(api)).toMatchObject({ full: 2, opened: 1 });
	expect(await unbalanced(api)).toEqual([]);
});

test('a collection names its sizes, and a load log that is none is refused', async () => {
	const { api } = testBooks();
	await smallFarm(api);
	const wrong = api.waste.collect({
		key: 'c',
		noteNo: '1',
		lines: [{ kind: 'rinsed containers', pieces: 1 }],
		...carrier,
	});
	expect((await refusal(wrong)).details).toEqual({
		path: 'lines[0].size',
		why: 'containers need their size and its unit',
	});
	const nobody = api.waste.noteRinse({ key: 'r', loadLogIds: ['none'], how: 'integrated', by: 'J' });
	expect((await refusal(nobody)).code).toBe('not.found');
});

test('a collection told by product takes from that product alone; one by size is shared out to none', async () => {
	const { api } = testBooks();
	const { log, suspensionId, granuleId } = await sprayed(api);
	await log('log');
	const collect = (key: string, productId: string | undefined, pieces: number, more: object = {}) =>
		api.waste.collect({
			...{ key, noteNo: key, ...carrier, ...more },
			lines: [{ kind: 'rinsed containers', size: 5, unit: 'L', pieces, ...(productId ? { productId } : {}) }],
		});
	const own = async () => (await api.waste.empties({})).products.find(({ productId }) => productId === suspensionId);
	await collect('a', suspensionId, 3);
	expect(await own()).toMatchObject({ emptied: 8, waiting: 5, collected: 3, missing: 0 });
	expect(await five(api)).toMatchObject({ waiting: 5, notTold: { waiting: 0, collected: 0, missing: 0 } });
	const [, byProduct] = [await collect('b', undefined, 2), (await api.waste.empties({})).collections];
	expect(byProduct.map(({ lines }) => lines.map(({ product }) => product !== null))).toEqual([[false], [true]]);
	expect(await own()).toMatchObject({ waiting: 5, collected: 3, missing: 0 });
	expect(await five(api)).toMatchObject({
		...{ waiting: 3, collected: 5, missing: 0 },
		notTold: { waiting: -2, collected: 2, missing: 0 },
	});
	// Five of the product may wait, but of the size only three.
	expect((await refusal(collect('c', suspensionId, 4))).details).toMatchObject({ what: '5 L containers', waiting: 3 });
	expect((await refusal(collect('d', suspensionId, 6))).details).toMatchObject({ waiting: 5, pieces: 6 });
	expect((await refusal(collect('e', granuleId, 1))).details).toMatchObject({ path: 'lines[0].unit' });
	expect((await refusal(collect('f', 'nobody', 1))).code).toBe('not.found');
	const bag = { lines: [{ kind: 'caps and foils' as const, pieces: 1, productId: suspensionId }] };
	expect((await refusal(api.waste.collect({ key: 'g', noteNo: 'g', ...carrier, ...bag }))).details).toMatchObject({
		path: 'lines[0].productId',
	});
	await collect('h', suspensionId, 6, { allowMore: true });
	expect(await own()).toMatchObject({ waiting: 0, collected: 9, missing: -1 });
	expect(await unbalanced(api)).toEqual([]);
});

test.each([31, 32, 33])('whatever happens to a store, every container is somewhere (season %i)', async (seed) => {
	const { api, book } = testBooks();
	const season = await randomStore(book, seed);
	const booked = new Map<string, number>();
	for (let step = 1; step <= 240; step++) {
		await season.step();
		if (step % 8 === 0) expect(await unbalanced(api)).toEqual([]);
		if (step % 40 !== 0) continue;
		const { sizes } = await api.waste.empties({});
		const lines = sizes.map(({ size, unit, waiting }, at) => ({
			size,
			unit,
			pieces: Math.max(0, waiting - 1 + (at % 3)),
		}));
		await api.waste.countEmpties({ key: `count ${step}`, lines, by: 'J. Wren' });
		const after = await api.waste.empties({});
		expect(after.sizes.map(({ waiting }) => waiting)).toEqual(lines.map(({ pieces }) => pieces));
		expect(await unbalanced(api)).toEqual([]);
		const waiting = after.sizes.filter((line) => line.waiting > 0);
		const handed = waiting.flatMap(({ size, unit, waiting: pieces }, at) => {
			const line = { kind: 'rinsed containers' as const, size, unit, pieces: Math.ceil(pieces / 2) };
			const own = after.products.find((each) => each.size === size && each.unit === unit && each.waiting > 0);
			if (!own || (step / 40 + at) % 2 === 0) return [line];
			const told = { ...line, productId: own.productId, pieces: Math.min(line.pieces, own.waiting) };
			const rest = line.pieces - told.pieces;
			return rest > 0 ? [told, { ...line, pieces: rest }] : [told];
		});
		if (handed.length > 0)
			await api.waste.collect({ key: `note ${step}`, noteNo: `W ${step}`, lines: handed, ...carrier });
		for (const line of handed) {
			const key = 'productId' in line ? `${line.productId} ${line.size}` : `${line.size} ${line.unit}`;
			booked.set(key, (booked.get(key) ?? 0) + line.pieces);
		}
		expect(await unbalanced(api)).toEqual([]);
		// What was told and what was not is what was booked so, line by line.
		const now = await api.waste.empties({});
		const collected = [
			...now.products.map((line) => [`${line.productId} ${line.size}`, line.collected] as const),
			...now.sizes.map((line) => [`${line.size} ${line.unit}`, line.notTold.collected] as const),
		].filter(([, pieces]) => pieces !== 0);
		expect(new Map(collected)).toEqual(booked);
	}
	// What was found and missed comes from the stock takes; nothing else may open a gap.
	const { products } = await api.waste.empties({});
	const open = products.filter(
		(line) =>
			line.delivered + line.found !== line.full + line.opened + line.emptied + line.passedOn + line.missed ||
			line.full < 0 ||
			line.opened < 0,
	);
	expect(open).toEqual([]);
	expect(products.some(({ emptied }) => emptied > 0)).toBe(true);
});

test('caps and foils are counted from the closures until a bag is tied', async () => {
	const { api } = testBooks();
	const { log, suspensionId: id } = await sprayed(api);
	await log('log');
	const bags = async () => {
		const { since, loose } = (await api.waste.empties({})).bags;
		return { since, ...loose };
	};
	expect(await bags()).toEqual({ since: null, caps: 0, foils: 0, notEntered: 12 });
	await api.products.update({ key: 'u', id, version: 1, closures: [{ size: 5, foil: true, capMm: 63 }] });
	expect(await bags()).toEqual({ since: null, caps: 8, foils: 8, notEntered: 4 });
	await api.waste.closeBag({ key: 'b', date: '2026-03-31', by: 'J. Wren' });
	expect(await bags()).toMatchObject({ since: '2026-03-31', caps: 8, foils: 8 });
	await api.waste.closeBag({ key: 'c', date: '2026-04-01', by: 'J. Wren' });
	expect(await bags()).toEqual({ since: '2026-04-01', caps: 0, foils: 0, notEntered: 0 });
});

test('empties counted by hand set the book, and the gap stays as missing', async () => {
	const { api, book } = testBooks();
	const { log } = await sprayed(api);
	await log('log');
	const count = (key: string, pieces: number, more: object = {}) =>
		api.waste.countEmpties({
			key,
			lines: [{ size: 5, unit: 'L', pieces }],
			by: 'J. Wren',
			date: '2026-04-02',
			...more,
		});
	expect(await count('a', 6)).toEqual({ lines: [{ size: 5, unit: 'L', pieces: 6, book: 8 }] });
	expect(await five(api)).toMatchObject({
		...{ emptied: 8, waiting: 6, missing: 2 },
		counted: { on: '2026-04-02', pieces: 6, book: 8, by: 'J. Wren' },
	});
	expect(await unbalanced(api)).toEqual([]);
	const seven = { ...carrier, lines: [{ kind: 'rinsed containers' as const, size: 5, unit: 'L' as const, pieces: 7 }] };
	expect((await refusal(api.waste.collect({ key: 'c', noteNo: 'W 1', ...seven }))).details).toMatchObject({
		waiting: 6,
	});
	// Two were found behind the shed.
	expect(await count('b', 8)).toEqual({ lines: [{ size: 5, unit: 'L', pieces: 8, book: 6 }] });
	expect(await five(api)).toMatchObject({ waiting: 8, missing: 0 });
	await api.waste.collect({ key: 'd', noteNo: 'W 1', ...seven });
	expect(await five(api)).toMatchObject({ waiting: 1, collected: 7, missing: 0 });
	const line = { size: 5, unit: 'L' as const, pieces: 1 };
	expect((await refusal(count('e', 1, { lines: [line, line] }))).code).toBe('input.invalid');
	expect(await refusal(count('f', 1, { lines: [{ ...line, size: 7 }] }))).toMatchObject({
		code: 'waste.sizeUnknown',
		details: { size: 7, sizes: ['5 L', '1 kg'] },
	});
	expect(() => book.writer.sqlite.exec('DELETE FROM empties_count')).toThrow('the waste account only grows');
});

test('how the containers were rinsed is said with the log of the load', async () => {
	const { api } = testBooks();
	const { jobId } = await sprayed(api);
	const times = { startedAt: '2026-04-01T09:00:00', finishedAt: '2026-04-01T10:00:00' };
	await api.jobs.logLoad({ key: 'log', jobId, load: 1, operator: 'A. Marsh', ...times, rinsed: 'integrated' });
	const [load] = (await api.waste.empties({})).loads;
	expect(load).toMatchObject({ rinsed: 'integrated', rinsedBy: 'A. Marsh' });
});

test('containers that were not rinsed are told apart until they are collected as such', async () => {
	const { api } = testBooks();
	const { log, suspensionId: productId } = await sprayed(api);
	await log('log');
	const [load] = (await api.waste.empties({})).loads;
	await api.waste.noteRinse({ key: 'r', loadLogIds: [load?.loadLogId ?? ''], how: 'not rinsed', by: 'J. Wren' });
	const own = async () => (await api.waste.empties({})).products.find((line) => line.productId === productId);
	expect(await own()).toMatchObject({ waiting: 8, notRinsed: 8 });
	const line = { kind: 'unrinsed containers' as const, size: 5, unit: 'L' as const };
	await api.waste.collect({ key: 'c', noteNo: 'W 1', ...carrier, lines: [{ ...line, productId, pieces: 3 }] });
	expect(await own()).toMatchObject({ waiting: 5, notRinsed: 5 });
	await api.waste.collect({ key: 'd', noteNo: 'W 2', ...carrier, lines: [{ ...line, pieces: 2 }] });
	expect(await own()).toMatchObject({ waiting: 5, notRinsed: 5 });
	expect(await five(api)).toMatchObject({ waiting: 3, notRinsed: 3 });
});
