import { addDays } from '../../shared/basics/calendar.ts';

/** What the demonstration farm does without a field: the grain barn before harvest, and its own seed. All of it is invented. */

type Need = <Output>(name: string, input: object) => Promise<Output>;
type Job = { readonly id: string; readonly loads: readonly { readonly load: number }[] };
type Product = { readonly id: string; readonly packSizes: readonly number[] };

type Field = { readonly id: string; readonly crops: ReadonlyMap<number, string>; readonly areaHa: number };
type UnderRoof = {
	readonly products: ReadonlyMap<string, Product>;
	readonly fields: ReadonlyMap<string, Field>;
	readonly spaceId: string;
	readonly handSprayerId: string;
	readonly treaterId: string;
	readonly operator: string;
	readonly office: string;
};

const BARN_SPRAY = 'Garnerby 25';
const SEED_DRESSING = 'Drillmoor 25';

/** The barn before the harvest of last season, and the seed of two wheat fields of this one. */
export function underRoof(
	need: Need,
	of: UnderRoof,
	{ season, today }: { readonly season: number; readonly today: string },
) {
	const fields = [...of.fields.values()].filter(({ crops }) => crops.get(season) === 'Winter wheat').slice(0, 2);
	const [barnOn, seedOn] = [`${season - 1}-07-03`, `${season - 1}-09-22`];
	return [
		{ date: barnOn, order: 1, run: () => sprayBarn(need, of, barnOn) },
		{ date: seedOn, order: 1, run: () => treatSeed(need, of, { date: seedOn, fields, today }) },
	];
}

async function bought(need: Need, of: UnderRoof, name: string, date: string, packs: number): Promise<string> {
	const { id: productId = '', packSizes = [] } = of.products.get(name) ?? {};
	await need('store.receive', {
		...{ key: `demo-under-roof-${name}`, productId, packSize: packSizes[0], packs, date: addDays(date, -14) },
		...{
			batch: `${date.slice(2, 4)}-${name.length}07`,
			expires: `${Number(date.slice(0, 4)) + 3}-06-30`,
			by: of.office,
		},
	});
	return productId;
}

/** Floor and walls of the empty barn, sprayed by hand: 70 L of mix in fills of the 15 L tank. */
async function sprayBarn(need: Need, of: UnderRoof, date: string): Promise<void> {
	const { spaceId, handSprayerId: sprayerId, operator } = of;
	const productId = await bought(need, of, BARN_SPRAY, date, 3);
	const { id: jobId } = await need<Job>('jobs.add', {
		...{ key: 'demo-barn', name: 'Grain barn before harvest', kind: 'closed space', sprayerId, date, operator },
		indoors: { unit: 'm²', mixL: 70, spaces: [{ spaceId, amount: 1400 }] },
		fields: [],
		products: [{ productId, dosePerM2: 0.001, doseUnit: 'L/100 m²' }],
		reason: 'grain weevils and mites',
	});
	const times = { startedAt: `${date}T09:10:00`, finishedAt: `${date}T11:40:00` };
	await need('jobs.logLoad', { key: 'demo-barn-1', jobId, load: 1, ...times, operator, rinsed: 'by hand three times' });
	await need('jobs.close', { key: 'demo-barn-close', id: jobId, by: operator });
}

const SEED_KG_PER_HA = 175;

/** Own wheat seed, dressed in batches and sown a fortnight later, where that day has come. */
async function treatSeed(
	need: Need,
	of: UnderRoof,
	{ date, fields, today }: { readonly date: string; readonly fields: readonly Field[]; readonly today: string },
): Promise<void> {
	const { treaterId: sprayerId, operator } = of;
	const sown = fields.map(({ id: fieldId, areaHa }) => ({ fieldId, seed: Math.round(areaHa * SEED_KG_PER_HA) }));
	const amount = sown.reduce((sum, { seed }) => sum + seed, 0);
	const productId = await bought(need, of, SEED_DRESSING, date, Math.ceil((amount * 0.002) / 10) + 1);
	const job = await need<Job>('jobs.add', {
		...{ key: 'demo-seed', name: 'Own wheat seed', kind: 'seed treatment', sprayerId, date, operator, fields: [] },
		seed: {
			...{ amount, unit: 'kg', crop: 'Winter wheat', eppoCode: 'TRZAW', lot: `${date.slice(2, 4)}-W1` },
			slurry: { value: 800, unit: 'mL/100 kg' },
		},
		products: [{ productId, dosePer100Kg: 0.2, doseUnit: 'L/100 kg' }],
		reason: 'bunt and seedling blight',
	});
	for (const { load } of job.loads) {
		const times = { startedAt: `${date}T0${6 + load}:00:00`, finishedAt: `${date}T0${6 + load}:45:00` };
		await need('jobs.logLoad', {
			key: `demo-seed-${load}`,
			jobId: job.id,
			load,
			...times,
			operator,
			rinsed: 'by hand three times',
		});
	}
	await need('jobs.close', { key: 'demo-seed-close', id: job.id, by: operator });
	const drilledOn = addDays(date, 14);
	if (drilledOn >= today) return;
	await need('jobs.sow', { key: 'demo-sown', jobId: job.id, date: drilledOn, by: operator, fields: sown });
}
