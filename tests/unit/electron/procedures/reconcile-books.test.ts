/** Ground, tank and store over real books: a season kept through the procedures, with one known fault or none. */
import { expect, test } from 'vitest';
import { type Api, testBooks } from './test-books.ts';

type Fault =
	| 'none'
	| 'load not logged'
	| 'products mixed up'
	| 'delivery not booked'
	| 'wrong count'
	| 'a delivery taken back';

const FIELD_HA = 12;
const PERIOD = { from: '2026-03-02', to: '2026-09-30' };
const recipes = [
	{ name: 'Herbicide 1', date: '2026-03-20', mix: { A: 1, B: 0.5 } },
	{ name: 'Herbicide 2', date: '2026-03-24', mix: { A: 1, B: 0.5 } },
	{ name: 'Fungicide 1', date: '2026-04-20', mix: { C: 2 } },
	{ name: 'Fungicide 2', date: '2026-05-12', mix: { C: 2 } },
	{ name: 'Growth', date: '2026-05-20', mix: { A: 0.4 } },
	{ name: 'Insecticide', date: '2026-06-08', mix: { D: 0.1 } },
] as const;
const packs = { A: 5, B: 5, C: 10, D: 1 } as const;
type Name = keyof typeof packs;
const names = Object.keys(packs) as Name[];

/** What stands on the shelf is kept beside the books, as it does on a farm. */
async function season(api: Api, fault: Fault) {
	const shelf: Record<Name, number> = { A: 0, B: 0, C: 0, D: 0 };
	const ids = {} as Record<Name, string>;
	let key = 0;
	const next = () => {
		key += 1;
		return String(key);
	};
	const receive = (name: Name, count: number, date: string, note: string) =>
		api.store.receive({ key: next(), productId: ids[name], packSize: packs[name], packs: count, date, note });
	for (const name of names) {
		const liquid = name !== 'D';
		const product = { formulation: liquid ? 'SC' : 'WG', unit: liquid ? ('L' as const) : ('kg' as const) };
		ids[name] = (await api.products.add({ name: `Product ${name}`, packSizes: [packs[name]], ...product })).id;
		await receive(name, 12, '2026-03-01', `first ${name}`);
		shelf[name] += 12 * packs[name];
	}
	const countAll = async (date: string) => {
		for (const name of names) {
			const off = fault === 'wrong count' && name === 'C' && date === PERIOD.to ? 3 * packs.C : 0;
			const counted = shelf[name] + off;
			await api.store.count({ key: next(), productId: ids[name], counted, why: 'stock take', by: 'A. Marsh', date });
		}
	};
	await countAll('2026-03-02');
	if (fault === 'delivery not booked') shelf.C += 4 * packs.C;
	if (fault === 'a delivery taken back') {
		const { movementIds } = await receive('C', 4, '2026-04-01', 'twice C');
		await api.store.reverse({ key: next(), movementId: movementIds[0] ?? '', why: 'booked twice', by: 'A. Marsh' });
	}
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 100 });
	const { id: fieldId } = await api.fields.add({ name: 'Long Piece', measuredHa: FIELD_HA });
	for (const { name, date, mix } of recipes) {
		const doses = Object.entries(mix) as [Name, number][];
		const { id } = await api.jobs.add({
			key: next(),
			name,
			sprayerId,
			sprayVolumeLPerHa: 100,
			fields: [{ fieldId }],
			products: doses.map(([product, dosePerHa]) => ({ productId: ids[product], dosePerHa })),
			date,
		});
		const swapped = fault === 'products mixed up' && name === 'Herbicide 1';
		for (const [product, dose] of doses) {
			const other = product === 'A' ? 'B' : 'A';
			shelf[swapped ? other : product] -= dose * FIELD_HA;
		}
		if (fault === 'load not logged' && name === 'Herbicide 2') continue;
		const times = { startedAt: `${date}T07:00:00`, finishedAt: `${date}T08:00:00` };
		const products = doses.map(([product, dose]) => ({ productId: ids[product], amount: dose * FIELD_HA }));
		await api.jobs.logLoad({
			key: next(),
			jobId: id,
			load: 1,
			...times,
			operator: 'A. Marsh',
			actual: { products },
		});
		await api.jobs.close({ key: next(), id, sprayedHa: FIELD_HA, controllerL: 1200, leftL: 0 });
	}
	await countAll(PERIOD.to);
	const { findings, products } = await api.season.reconcile(PERIOD);
	const named = new Map(names.map((name) => [ids[name], name]));
	return {
		residuals: products.map(({ residual }) => Math.round((residual ?? Number.NaN) * 10) / 10 || 0),
		causes: findings.map(({ causes }) =>
			causes.map(({ cause, amounts }) => `${cause}: ${amounts.map(({ productId }) => named.get(productId)).join('+')}`),
		),
	};
}

test('a season that was kept right is accused of nothing', async () => {
	expect(await season(testBooks().api, 'none')).toEqual({ residuals: [0, 0, 0, 0], causes: [] });
});

test('a delivery that was taken back is no suspect, whatever else is wrong', async () => {
	expect(await season(testBooks().api, 'a delivery taken back')).toEqual({ residuals: [0, 0, 0, 0], causes: [] });
});

test('a load that was sprayed and never logged is named, with its products', async () => {
	const { residuals, causes } = await season(testBooks().api, 'load not logged');
	expect(residuals).toEqual([12, 6, 0, 0]);
	expect(causes).toEqual([['load not logged: A+B']]);
});

test('two products poured for each other are named together', async () => {
	const { residuals, causes } = await season(testBooks().api, 'products mixed up');
	expect(residuals).toEqual([-6, 6, 0, 0]);
	expect(causes).toEqual([['products mixed up: A+B']]);
});

test('a delivery that was not booked shows as whole containers too many', async () => {
	const { residuals, causes } = await season(testBooks().api, 'delivery not booked');
	expect(residuals).toEqual([0, 0, -40, 0]);
	expect(causes.flat()).toContain('delivery not booked: C');
	expect(causes.length).toBe(1);
});

test('a wrong count looks like that too, and both are named', async () => {
	const { residuals, causes } = await season(testBooks().api, 'wrong count');
	expect(residuals).toEqual([0, 0, -30, 0]);
	expect(causes.flat()).toEqual(expect.arrayContaining(['wrong count: C', 'delivery not booked: C']));
	expect(causes.length).toBe(1);
});

test('what a job sprayed holds the rinse from the clean tank and lacks the mix that was lost', async () => {
	const { api } = testBooks();
	const { id: productId } = await api.products.add({ name: 'Flow', formulation: 'SC', unit: 'L', packSizes: [5] });
	await api.store.receive({ key: 'in', productId, packSize: 5, packs: 4, date: '2026-03-01' });
	const { id: sprayerId } = await api.sprayers.add({
		name: 'Trailed',
		capacityL: 4000,
		minimumL: 100,
		rinsesS: [10, 10, 10],
		rinseLPerMin: 12,
		rinseFrom: 'clean tank',
	});
	const { id: fieldId } = await api.fields.add({ name: 'Long Piece', measuredHa: FIELD_HA });
	const fields = [{ fieldId }];
	const add = (key: string) =>
		api.jobs.add({
			key,
			sprayerId,
			sprayVolumeLPerHa: 100,
			fields,
			products: [{ productId, dosePerHa: 0.5 }],
			date: '2026-03-20',
		});
	const times = { startedAt: '2026-03-20T07:00:00', finishedAt: '2026-03-20T08:00:00', operator: 'A. Marsh' };
	const job = await add('read');
	// 5 L and a measured litre: two containers of three rinses of 2 L, 12 L beside the meter.
	const { card } = await api.fills.sheet({ jobId: job.id, load: 1 });
	const meteredL = card.fill?.meterStops.at(-1)?.atMeterL ?? 0;
	expect(meteredL).toBe(1200 - 6 - 12);
	await api.jobs.logLoad({ key: 'l', jobId: job.id, load: 1, ...times, actual: { meteredL } });
	await api.fills.incident({
		key: 'i',
		jobId: job.id,
		load: 1,
		kind: 'overflow',
		at: '2026-03-20T06:50:00',
		mixL: 15,
		by: 'A. Marsh',
	});
	expect((await api.jobs.get({ id: job.id })).plan.end?.expectedL).toBe(-15);
	await api.jobs.close({ key: 'c', id: job.id, sprayedHa: FIELD_HA, leftL: 5 });
	const unread = await add('unread');
	await api.jobs.logLoad({ key: 'u', jobId: unread.id, load: 1, ...times });
	await api.jobs.close({ key: 'cu', id: unread.id, sprayedHa: FIELD_HA, leftL: 0 });
	const { jobs } = await api.season.reconcile(PERIOD);
	expect(jobs.map(({ jobId, sprayedL }) => [jobId === job.id, sprayedL]).sort()).toEqual([
		[false, 1200],
		[true, 1200 - 5 - 15],
	]);
});
