import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratchFolder } from '../scratch.ts';
import { type Api, smallFarm } from './test-books.ts';

/** What one command is called with. `other` changes the input, so that a used key no longer fits it. */
export type Example = { readonly input: object; readonly other: object };
export type Farm = Awaited<ReturnType<typeof workingFarm>>;

/** A farm in the middle of a season: a field with a boundary, a job to come, a job whose only load is logged. */
export async function workingFarm(api: Api) {
	const farm = await smallFarm(api);
	const { id: mappedId } = await api.fields.add({ key: 'mapped', name: 'Mill Bank', geometry: square });
	const job = (key: string) =>
		api.jobs.add({
			key,
			sprayerId: farm.sprayerId,
			sprayVolumeLPerHa: 100,
			fields: [{ fieldId: farm.fieldId, areaHa: 5 }],
			products: [{ productId: farm.suspensionId, dosePerHa: 1.3 }],
			date: '2026-05-04',
		});
	const [{ id: plannedId }, { id: loggedId }] = [await job('planned'), await job('logged')];
	const { logId, recordIds } = await api.jobs.logLoad({ key: 'log', jobId: loggedId, load: 1, ...FROM_SEVEN_TO_EIGHT });
	const [recordId = ''] = recordIds;
	return { api, ...farm, mappedId, plannedId, loggedId, logId, recordId };
}

const FROM_SEVEN_TO_EIGHT = {
	startedAt: '2026-05-04T07:00:00Z',
	finishedAt: '2026-05-04T08:00:00Z',
	operator: 'A. Marsh',
};

/** Ground between two meridians, thousandths of a degree east of 9° E. */
function between(westMilli: number, eastMilli: number) {
	const [west, east] = [9 + westMilli / 1000, 9 + eastMilli / 1000];
	const ring = [
		[west, 51],
		[east, 51],
		[east, 51.003],
		[west, 51.003],
		[west, 51],
	] as [number, number][];
	return { type: 'Polygon' as const, coordinates: [ring] };
}

const square = between(0, 4);
const west = between(0, 2);
const east = between(2, 4);
const beyond = between(4, 6);

/** What was left, thinned once and put onto ground. */
const WASHED = {
	leftL: 20,
	residualL: 10,
	rinsesL: [100],
	startedAt: '2026-04-15T10:00',
	finishedAt: '2026-04-15T10:15',
	operator: 'A. Marsh',
};

/** Two tonnes of wheat, treated and not sown yet. */
async function treatedSeed({ api, suspensionId }: Farm): Promise<string> {
	const { id: sprayerId } = await api.sprayers.add({ name: 'Treater', kind: 'seed treater' });
	const { id: jobId } = await api.jobs.add({
		key: 'seed',
		kind: 'seed treatment',
		sprayerId,
		seed: { amount: 2000, unit: 'kg', crop: 'Winter wheat', lot: '26-4' },
		fields: [],
		products: [{ productId: suspensionId, dosePer100Kg: 0.2 }],
		date: '2026-09-20',
	});
	const times = { startedAt: '2026-09-20T07:00:00Z', finishedAt: '2026-09-20T08:00:00Z' };
	await api.jobs.logLoad({ key: 'seed-log', jobId, load: 1, ...times, operator: 'A. Marsh' });
	return jobId;
}

const by = 'J. Wren';
const other = { by: 'C. Reed' };

async function openTake({ api, suspensionId }: Farm): Promise<string> {
	const { id: takeId } = await api.store.openStockTake({ key: 'take', by });
	const full = [{ size: 5, count: 8 }];
	await api.store.enterCount({ key: 'entry', takeId, productId: suspensionId, by, full });
	return takeId;
}

async function fieldVersion({ api, fieldId }: Farm): Promise<number> {
	return (await api.fields.get({ id: fieldId })).field.version;
}

async function fillOf({ api, plannedId }: Farm): Promise<void> {
	const step = (minute: number, what: 'inlet opened' | 'inlet stopped') =>
		api.fills.step({ key: what, jobId: plannedId, load: 1, at: `2026-05-04T06:0${minute}:00Z`, what });
	await step(0, 'inlet opened');
	await step(5, 'inlet stopped');
}

async function collection({ api }: Farm) {
	return api.waste.collect({ key: 'collected', ...collecting });
}

const collecting = {
	carrier: 'Licensed carrier',
	registrationNo: 'C 1',
	noteNo: 'W 17',
	lines: [{ kind: 'rinsed containers' as const, size: 5, unit: 'L' as const, pieces: 1 }],
	by,
};

const recommended = (productId: string, fieldId: string) => ({
	adviser: 'J. Wren',
	givenOn: '2026-05-01',
	validUntil: '2026-05-14',
	fieldIds: [fieldId],
	products: [{ productId, dosePerHa: 1.3 }],
});

/** One example of every command, as a person could send it. */
export const examples: Readonly<Record<string, (farm: Farm) => Example | Promise<Example>>> = {
	'settings.save': () => ({ input: { farmName: 'Marsh Farm' }, other: { farmName: 'Wren Farm' } }),
	'settings.setBackground': () => ({
		input: { background: { kind: 'xyz', address: 'https://tiles.example/{z}/{x}/{y}.png', credit: '© Survey' } },
		other: { background: null },
	}),
	'settings.addOperator': () => ({ input: { name: 'B. Reed' }, other: { name: 'C. Lane' } }),
	'settings.updateOperator': async ({ api }) => {
		const { id } = await api.settings.addOperator({ key: 'op', name: 'B. Reed' });
		return { input: { id, version: 1, name: 'B. Reed', certificateNo: 'SP-1' }, other: { certificateNo: 'SP-2' } };
	},
	'settings.removeOperator': async ({ api }) => {
		const { id } = await api.settings.addOperator({ key: 'op', name: 'B. Reed' });
		return { input: { id, version: 1 }, other: { version: 2 } };
	},
	'products.add': () => ({
		input: { name: 'Emulsion', formulation: 'EC', unit: 'L', packSizes: [5] },
		other: { name: 'Other' },
	}),
	'products.update': ({ suspensionId: id }) => ({
		input: { id, version: 1, packSizes: [5, 10] },
		other: { packSizes: [1] },
	}),
	'products.importList': () => {
		const path = join(scratchFolder(), 'list.csv');
		const second = join(scratchFolder(), 'list.csv');
		for (const file of [path, second]) writeFileSync(file, 'Name,Formulation,Unit,Pack sizes\nFrom the list,SC,L,5\n');
		return { input: { path }, other: { path: second } };
	},
	'documents.add': ({ suspensionId: productId }) => {
		const path = join(scratchFolder(), 'label.pdf');
		writeFileSync(path, '%PDF-1.4\ninvented label\n%%EOF\n');
		return { input: { path, productId, kind: 'label', by }, other: { kind: 'other' } };
	},
	'documents.putAside': async ({ api, suspensionId: productId }) => {
		const path = join(scratchFolder(), 'label.pdf');
		writeFileSync(path, '%PDF-1.4\ninvented label\n%%EOF\n');
		const { id: documentId } = await api.documents.add({ key: 'kept', path, productId, kind: 'label', by });
		return { input: { documentId, why: 'wrong product', by }, other };
	},
	'fields.import': () => {
		const path = join(scratchFolder(), 'fields.geojson');
		const feature = { type: 'Feature', properties: { name: 'From the file' }, geometry: square };
		writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features: [feature] }));
		return { input: { path, nameAttribute: 'name' }, other: { crs: 'EPSG:4326' } };
	},
	'fields.add': () => ({ input: { name: 'New Field', measuredHa: 3 }, other: { measuredHa: 4 } }),
	'fields.update': async (farm) => ({
		input: { id: farm.fieldId, version: await fieldVersion(farm), name: 'Longer Piece' },
		other: { name: 'Longest Piece' },
	}),
	'fields.chooseArea': async (farm) => ({
		input: { id: farm.fieldId, version: await fieldVersion(farm), basis: 'mapped', why: 'as the register has it' },
		other: { why: 'asked for' },
	}),
	'fields.addMeasurement': ({ fieldId: id }) => ({
		input: { id, kind: 'sprayed', areaHa: 39.5, source: 'the sprayer’s counter' },
		other: { areaHa: 39.6 },
	}),
	'fields.setOverlap': async ({ api, fieldId: id }) => {
		const said = { key: 'counter', id, kind: 'sprayed', areaHa: 39.5, source: 'the sprayer’s counter' } as const;
		const { measurements } = await api.fields.addMeasurement(said);
		const measurementId = measurements.find(({ kind }) => kind === 'sprayed')?.id ?? '';
		return { input: { id, measurementId, withOverlap: true }, other: { withOverlap: false } };
	},
	'fields.addStrip': ({ fieldId: id }) => ({
		input: { id, kind: 'obstacle', label: 'pylon', areaHa: 0.02 },
		other: { label: 'pond' },
	}),
	'fields.removeStrip': async ({ api, fieldId: id }) => {
		const { strips } = await api.fields.addStrip({ key: 's', id, kind: 'obstacle', label: 'pylon', areaHa: 0.02 });
		return { input: { id, stripId: strips[0]?.id ?? '', why: 'taken down' }, other: { why: 'entered twice' } };
	},
	'fields.keepStrip': async ({ api, fieldId: id }) => {
		const pylon = { id, kind: 'obstacle', label: 'pylon', areaHa: 0.02 } as const;
		await api.fields.addStrip({ key: 's1', ...pylon });
		const { strips } = await api.fields.addStrip({ key: 's2', ...pylon, label: 'mast' });
		const [stripId = '', another = ''] = strips.map((strip) => strip.id);
		return { input: { id, stripId }, other: { stripId: another } };
	},
	'fields.setCrop': ({ fieldId: id }) => ({
		input: { id, season: 2026, crop: 'winter wheat' },
		other: { crop: 'barley' },
	}),
	'limits.setNutrient': ({ fieldId }) => ({
		input: { fieldIds: [fieldId], nutrient: 'N', maxKgPerHa: 180, source: 'nutrient plan' },
		other: { maxKgPerHa: 150 },
	}),
	'limits.endNutrient': async ({ api, fieldId }) => {
		const plan = { fieldIds: [fieldId], maxKgPerHa: 180, source: 'nutrient plan' };
		await api.limits.setNutrient({ key: 'n', nutrient: 'N', ...plan });
		await api.limits.setNutrient({ key: 'k', nutrient: 'K2O', ...plan });
		const [limit, second] = (await api.limits.nutrients({ fieldId })).limits;
		return { input: { id: limit?.id ?? '' }, other: { id: second?.id ?? '' } };
	},
	'limits.answerCondition': ({ fieldId }) => ({
		input: { condition: 'drained land', fields: [{ fieldId, holds: true }] },
		other: { fields: [{ fieldId, holds: false }] },
	}),
	'fields.setBoundary': async ({ api, mappedId: id }) => ({
		input: { id, version: (await api.fields.get({ id })).field.version, geometry: west, source: 'walked' },
		other: { source: 'drawn' },
	}),
	'fields.split': async ({ api, mappedId: id }) => ({
		input: {
			id,
			version: (await api.fields.get({ id })).field.version,
			parts: [
				{ name: 'Mill Bank west', geometry: west },
				{ name: 'Mill Bank east', geometry: east },
			],
		},
		other: { version: 9 },
	}),
	'fields.merge': async ({ api, mappedId }) => {
		const { id } = await api.fields.add({ key: 'beyond', name: 'Beyond', geometry: beyond });
		const fields = [
			{ id: mappedId, version: (await api.fields.get({ id: mappedId })).field.version },
			{ id, version: (await api.fields.get({ id })).field.version },
		];
		return { input: { fields, name: 'Both' }, other: { name: 'All' } };
	},
	'fields.rollSeason': async ({ api, fieldId: id }) => {
		await api.fields.setCrop({ key: 'crop', id, season: 2026, crop: 'winter wheat' });
		const rotation = [{ crop: 'winter wheat', next: 'oilseed rape' }];
		return { input: { from: 2026, to: 2027, rotation }, other: { to: 2028 } };
	},
	'spaces.add': () => ({ input: { name: 'Barn 2', volumeM3: 12_000 }, other: { volumeM3: 11_000 } }),
	'spaces.update': async ({ api }) => {
		const { id } = await api.spaces.add({ key: 'to change', name: 'Barn 2' });
		return { input: { id, version: 1, volumeM3: 12_000 }, other: { volumeM3: 11_000 } };
	},
	'spaces.remove': async ({ api }) => {
		const { id } = await api.spaces.add({ key: 'to take off', name: 'Barn 2' });
		return { input: { id, version: 1, why: 'sold' }, other: { why: 'pulled down' } };
	},
	'sprayers.add': () => ({ input: { name: 'Mounted', capacityL: 1000, minimumL: 50 }, other: { capacityL: 1200 } }),
	'sprayers.update': ({ sprayerId: id }) => ({ input: { id, version: 1, boomWidthM: 24 }, other: { boomWidthM: 27 } }),
	'store.receive': ({ suspensionId: productId }) => ({
		input: { productId, packSize: 5, packs: 2 },
		other: { packs: 3 },
	}),
	'store.receiveDelivery': ({ suspensionId, granuleId }) => ({
		input: {
			note: 'D 4',
			lines: [
				{ productId: suspensionId, packSize: 5, packs: 2 },
				{ productId: granuleId, packSize: 1, packs: 10 },
			],
		},
		other: { note: 'D 5' },
	}),
	'store.count': ({ suspensionId: productId }) => ({
		input: { productId, counted: 50, why: 'stock take', by },
		other,
	}),
	'store.post': ({ suspensionId: productId }) => ({
		input: { productId, kind: 'disposal', amount: 2, why: 'frozen', by },
		other,
	}),
	'store.reverse': async ({ api, granuleId }) => {
		const [delivery] = await api.store.movements({ productId: granuleId });
		return { input: { movementId: delivery?.id ?? '', why: 'typed twice', by }, other };
	},
	'store.openStockTake': () => ({ input: { by }, other }),
	'store.enterCount': async (farm) => ({
		input: { takeId: await openTake(farm), productId: farm.granuleId, by, full: [{ size: 1, count: 30 }] },
		other,
	}),
	'store.settleDifference': async (farm) => ({
		input: { takeId: await openTake(farm), productId: farm.suspensionId, verdict: 'accepted', why: 'spilt', by },
		other,
	}),
	'store.approveStockTake': async (farm) => {
		const takeId = await openTake(farm);
		const settled = { productId: farm.suspensionId, verdict: 'accepted', why: 'spilt', by } as const;
		await farm.api.store.settleDifference({ key: 'settled', takeId, ...settled });
		return { input: { takeId, by }, other };
	},
	'store.dropStockTake': async (farm) => ({ input: { takeId: await openTake(farm), why: 'wrong day', by }, other }),
	'store.addStore': () => ({ input: { name: 'North barn', bundL: 800 }, other: { name: 'South barn' } }),
	'store.move': async ({ api, granuleId }) => {
		const to = await api.store.addStore({ key: 'to move to', name: 'North barn' });
		const [first] = await api.store.stores({});
		const lot = (await api.store.onHand({})).find(({ productId }) => productId === granuleId)?.lots[0];
		return {
			input: {
				fromStoreId: first?.storeId ?? '',
				toStoreId: to.storeId,
				packs: [{ lotId: lot?.lotId ?? '', count: 3 }],
				by,
			},
			other,
		};
	},
	'store.saveSite': () => ({
		input: { version: 0, place: 'by the yard', contacts: 'J. Wren', bundL: 500, sensitive: false },
		other: { bundL: 600 },
	}),
	'waste.countEmpties': () => ({ input: { lines: [{ size: 5, unit: 'L', pieces: 1 }], by }, other }),
	'waste.noteRinse': ({ logId }) => ({ input: { loadLogIds: [logId], how: 'pressure', by }, other }),
	'waste.closeBag': () => ({ input: { by }, other }),
	'waste.collect': () => ({ input: collecting, other }),
	'waste.takeBack': async (farm) => ({
		input: { collectionId: (await collection(farm)).id, why: 'wrong carrier', by },
		other,
	}),
	'jobs.add': ({ sprayerId, fieldId, suspensionId }) => ({
		input: {
			sprayerId,
			sprayVolumeLPerHa: 150,
			fields: [{ fieldId }],
			products: [{ productId: suspensionId, dosePerHa: 1 }],
		},
		other: { sprayVolumeLPerHa: 200 },
	}),
	'jobs.change': ({ sprayerId, fieldId, suspensionId, plannedId: id }) => ({
		input: {
			id,
			version: 1,
			sprayerId,
			sprayVolumeLPerHa: 150,
			fields: [{ fieldId }],
			products: [{ productId: suspensionId, dosePerHa: 1 }],
		},
		other: { sprayVolumeLPerHa: 200 },
	}),
	'jobs.replan': ({ fieldId, plannedId: id }) => ({
		input: { id, version: 1, fields: [{ fieldId, areaHa: 4 }], why: 'rain' },
		other: { why: 'wind' },
	}),
	'jobs.giveReason': ({ plannedId: id }) => ({ input: { id, why: 'as the adviser says' }, other: { why: 'rain' } }),
	'jobs.remove': ({ plannedId: id }) => ({ input: { id, why: 'rain' }, other: { why: 'wind' } }),
	'jobs.logLoad': ({ plannedId: jobId }) => ({
		input: { jobId, load: 1, ...FROM_SEVEN_TO_EIGHT },
		other: { operator: 'C. Reed' },
	}),
	'jobs.reverseLoad': ({ loggedId: jobId }) => ({ input: { jobId, load: 1, why: 'wrong job', by }, other }),
	'jobs.sow': async (farm) => {
		const jobId = await treatedSeed(farm);
		const fields = [{ fieldId: farm.fieldId, areaHa: 10, seed: 1800 }];
		return { input: { jobId, date: '2026-10-02', by, fields }, other };
	},
	'jobs.unsow': async (farm) => {
		const jobId = await treatedSeed(farm);
		const fields = [{ fieldId: farm.fieldId, areaHa: 10, seed: 1800 }];
		const { sowingIds } = await farm.api.jobs.sow({ key: 'sow', jobId, date: '2026-10-02', by, fields });
		return { input: { jobId, sowingId: sowingIds[0] ?? '', why: 'another field', by }, other };
	},
	'jobs.logWashings': ({ loggedId: jobId, fieldId }) => ({
		input: { jobId, ...WASHED, fields: [{ fieldId, areaHa: 1 }] },
		other: { leftL: 30 },
	}),
	'jobs.reverseWashings': async ({ api, loggedId: jobId, fieldId }) => {
		const { washingsId } = await api.jobs.logWashings({
			key: 'washed',
			jobId,
			...WASHED,
			fields: [{ fieldId, areaHa: 1 }],
		});
		return { input: { jobId, washingsId, why: 'another field', by }, other };
	},
	'jobs.close': ({ loggedId: id }) => ({ input: { id, sprayedHa: 5.1, by }, other }),
	'recommendations.add': ({ suspensionId, fieldId }) => ({
		input: recommended(suspensionId, fieldId),
		other: { adviser: 'C. Reed' },
	}),
	'recommendations.withdraw': async ({ api, suspensionId, fieldId }) => {
		const { id } = await api.recommendations.add({ key: 'given', ...recommended(suspensionId, fieldId) });
		return { input: { id, why: 'entered for the wrong field', by }, other };
	},
	'recipes.save': ({ suspensionId }) => ({
		input: { name: 'Spring mix', sprayVolumeLPerHa: 150, products: [{ productId: suspensionId, dosePerHa: 1 }] },
		other: { sprayVolumeLPerHa: 200 },
	}),
	'recipes.remove': async ({ api, suspensionId }) => {
		const mix = { name: 'Spring mix', sprayVolumeLPerHa: 150, products: [{ productId: suspensionId, dosePerHa: 1 }] };
		const { id } = await api.recipes.save({ key: 'mix', ...mix });
		return { input: { id }, other: { id: 'another' } };
	},
	'fills.step': ({ plannedId: jobId }) => ({
		input: { jobId, load: 1, at: '2026-05-04T06:00:00Z', what: 'inlet opened' },
		other: { at: '2026-05-04T06:01:00Z' },
	}),
	'fills.log': async (farm) => {
		await fillOf(farm);
		return {
			input: { jobId: farm.plannedId, load: 1, meteredL: 500, operator: 'A. Marsh' },
			other: { operator: 'C. Reed' },
		};
	},
	'fills.incident': ({ suspensionId }) => ({
		input: { kind: 'spill', by, productId: suspensionId, amount: 0.5 },
		other,
	}),
	'fills.completeIncident': async ({ api }) => {
		const { id } = await api.fills.incident({ key: 'spilt', kind: 'spill', by });
		return { input: { id, by, wentTo: 'the drip tray' }, other };
	},
	'fills.withdrawIncident': async ({ api }) => {
		const { id } = await api.fills.incident({ key: 'not so', kind: 'spill', by });
		return { input: { id, why: 'entered twice', by }, other };
	},
	'fills.cleanDown': ({ plannedId: jobId }) => ({
		input: { jobId, load: 1, tasks: ['containers on the drain rack'], operator: 'A. Marsh' },
		other: { operator: 'C. Reed' },
	}),
	'fills.rinseOut': ({ sprayerId }) => ({
		input: { sprayerId, residualL: 20, rinsesL: [100, 100], washings: 'onto the field', operator: 'A. Marsh' },
		other: { operator: 'C. Reed' },
	}),
	'records.complete': ({ loggedId: jobId }) => ({ input: { jobId, by, growthStage: '31' }, other }),
	'records.correct': ({ recordId: id }) => ({
		input: { id, version: 1, why: 'read wrongly', by, growthStage: '32' },
		other,
	}),
	'upkeep.restore': async ({ api, granuleId: productId }) => {
		const path = join(scratchFolder(), 'books.backup');
		await api.upkeep.backup({ path });
		await api.store.receive({ key: 'since', productId, packSize: 1, packs: 1 });
		return { input: { path }, other: { path: `${path}x` } };
	},
};
