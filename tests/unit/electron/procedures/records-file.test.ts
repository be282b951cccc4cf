import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { RecordFile, recordFileSchema } from '../../../../shared/contract/records-file.ts';
import { breaches } from './check-schema.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

const SEASON = { from: '2025-10-01', to: '2026-09-30' };
const kept = JSON.parse(
	readFileSync(new URL('../../../../electron/files/spray-records.schema.json', import.meta.url), 'utf8'),
);

/** A field in the shape of an L with a boundary, one product, one logged load. */
async function logged(api: Api): Promise<string> {
	await api.settings.save({ key: 'farm', farmName: 'Brook "Farm"', zone: 'Europe/London', seasonStartMonth: 10 });
	const ring = [
		[0.1, 52.1],
		[0.106, 52.1],
		[0.106, 52.1012],
		[0.102, 52.1012],
		[0.102, 52.105],
		[0.1, 52.105],
		[0.1, 52.1],
	];
	const geometry = { type: 'Polygon' as const, coordinates: [ring] };
	const { id: fieldId } = await api.fields.add({ name: 'Long Piece', code: 'L 1', geometry });
	await api.fields.setCrop({ key: 'crop', id: fieldId, season: 2026, crop: 'Winter wheat', eppoCode: 'TRZAW' });
	const { id: productId } = await api.products.add({
		name: 'Fungicide',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		limits: [{ kind: 'stage', min: 30, max: 39 }],
	});
	await api.store.receive({ key: 'in', productId, packSize: 5, packs: 10, date: '2026-03-01' });
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 100 });
	const { id: jobId } = await api.jobs.add({
		key: 'job',
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId, areaHa: 10 }],
		products: [{ productId, dosePerHa: 0.8 }],
		date: '2026-04-17',
		growthStage: 'GS32',
		reason: 'septoria',
	});
	await api.jobs.logLoad({
		key: 'log',
		jobId,
		load: 1,
		startedAt: '2026-04-17T07:00',
		finishedAt: '2026-04-17T08:00',
		operator: 'A. Marsh',
	});
	return productId;
}

async function fileOf(api: Api): Promise<{ file: RecordFile; answer: { records: number; incomplete: number } }> {
	const { path, ...answer } = await api.season.recordFile(SEASON);
	return { file: JSON.parse(readFileSync(path, 'utf8')) as RecordFile, answer };
}

test('the schema that is kept is the one the file is made by', () => {
	expect(kept).toEqual(JSON.parse(JSON.stringify(recordFileSchema())));
});

test('a record in the file: codes, units, place, stamps, and what the EU rule still asks for', async () => {
	const { api } = testBooks();
	await logged(api);
	const { file, answer } = await fileOf(api);
	const [line] = await api.records.list({});
	expect(answer).toMatchObject({ records: 1, incomplete: 1 });
	expect(breaches(kept, file)).toEqual([]);
	expect(RecordFile.parse(file)).toEqual(file);
	expect(file.chainHead).toEqual({ entry: 1, hash: line?.hash });
	expect(file.records).toEqual([
		{
			id: line?.id,
			entry: 1,
			version: 1,
			useType: 'treatment of surfaces',
			product: { name: 'Fungicide', authorisationNumber: null, formulation: 'SC' },
			date: '2026-04-17',
			start: '2026-04-17T07:00:00+01:00',
			end: '2026-04-17T08:00:00+01:00',
			dose: { value: 0.8, unit: 'L/ha' },
			amount: { value: 8, unit: 'L' },
			treatedArea: { value: 10, unit: 'ha' },
			treatedSeed: null,
			treatedSpace: null,
			carrier: null,
			washings: null,
			location: {
				field: 'Long Piece',
				code: 'L 1',
				address: null,
				point: { latitude: expect.closeTo(52.1025, 9), longitude: expect.closeTo(0.101, 9) },
			},
			crop: { name: 'Winter wheat', eppoCode: 'TRZAW' },
			growthStage: { scale: 'BBCH', code: '32' },
			sprayVolume: { value: 100, unit: 'L/ha' },
			reason: 'septoria',
			operator: 'A. Marsh',
			certificateNumber: null,
			createdAt: line?.createdAt,
			convertedAt: line?.createdAt,
			changedAt: line?.writtenAt,
			writeBy: '2026-05-17',
			keepUntil: '2029-12-31',
			missing: ['authorisation number'],
		},
	]);
});

test('distances to water stand in the file as they were assessed beside what the label asks; where none was, the member is left out', async () => {
	const { api } = testBooks();
	const productId = await logged(api);
	expect((await fileOf(api)).file.records[0]).not.toHaveProperty('distancesToWater');
	const { version = 0 } = (await api.products.list({})).find(({ id }) => id === productId) ?? {};
	const limits = [
		{ kind: 'buffer' as const, min: 12, reducible: true },
		{ kind: 'singleDose' as const, max: 1.6 },
	];
	await api.products.update({ key: 'limits', id: productId, version, limits });
	const [line] = await api.records.list({});
	await api.records.correct({
		...{ key: 'margins', id: line?.id ?? '', version: 1, why: 'left out', by: 'J. Wren' },
		margins: [
			{
				...{
					margin: 'ditch in the north',
					water: 'wet',
					width: 'under 3 m',
					driftReduction: 75,
					keptM: 6,
					by: 'A. Marsh',
				},
				...{ pressureFromBar: 2, pressureToBar: 3, lessDriftWithin30M: true },
			},
			{ margin: 'brook', water: 'dry', keptM: 12, pressureFromBar: 2.5 },
			{ margin: 'lane', water: 'none' },
		],
	});
	const { file } = await fileOf(api);
	expect(breaches(kept, file)).toEqual([]);
	expect(RecordFile.parse(file)).toEqual(file);
	expect(file.$schema).toBe('urn:fillmark:spray-records:6');
	const nothing = {
		...{ water: null, waterWidth: null, driftReduction: null, pressure: null },
		...{ driftReducedWithin30Metres: null, keptDistance: null, assessedBy: 'J. Wren' },
	};
	expect(file.records[0]?.distancesToWater).toEqual({
		labelDistance: { value: 12, unit: 'm' },
		labelAllowsReduction: true,
		doseClass: 'half',
		largestLabelDose: { value: 1.6, unit: 'L/ha' },
		margins: [
			{
				margin: 'ditch in the north',
				water: 'wet',
				waterWidth: 'under 3 m',
				driftReduction: { value: 75, unit: '%' },
				pressure: { from: 2, to: 3, unit: 'bar' },
				driftReducedWithin30Metres: true,
				keptDistance: { value: 6, unit: 'm' },
				assessedBy: 'A. Marsh',
			},
			{
				...{ ...nothing, margin: 'brook', water: 'dry', keptDistance: { value: 12, unit: 'm' } },
				pressure: { from: 2.5, to: 2.5, unit: 'bar' },
			},
			{ ...nothing, margin: 'lane', water: 'none' },
		],
	});
	const [record] = file.records;
	const margins = [{ ...nothing, margin: 'brook', water: 'frozen' }];
	const wrong = { ...record, distancesToWater: { ...record?.distancesToWater, margins } };
	expect(breaches(kept, { ...file, records: [wrong] })).not.toEqual([]);
});

test('a correction goes into the file, what was taken back does not, and the first writing stays', async () => {
	const { api } = testBooks();
	await logged(api);
	const [first] = await api.records.list({});
	const wish = { id: first?.id ?? '', version: 1, why: 'from the label', by: 'J. Wren' };
	await api.records.correct({ key: 'number', ...wish, authorisationNo: 'A-1' });
	const { file, answer } = await fileOf(api);
	expect(answer).toMatchObject({ records: 1, incomplete: 0 });
	expect(file.records[0]).toMatchObject({ version: 2, entry: 2, createdAt: first?.createdAt, missing: [] });
	const jobId = first?.jobId ?? '';
	await api.jobs.reverseLoad({ key: 'back', jobId, load: 1, why: 'another field', by: 'J. Wren' });
	expect((await fileOf(api)).file.records).toEqual([]);
});

test('the check of the schema sees what is wrong', async () => {
	const { api } = testBooks();
	await logged(api);
	const { file } = await fileOf(api);
	const [record] = file.records;
	const broken = (change: object) => breaches(kept, { ...file, records: [{ ...record, ...change }] });
	expect([
		broken({ useType: 'spraying' }),
		broken({ date: '17/04/2026' }),
		broken({ dose: { value: -1, unit: 'L/ha' } }),
		broken({ growthStage: { scale: 'BBCH', code: 'late' } }),
		broken({ weather: 'fine' }),
		breaches(kept, { ...file, chainHead: { entry: 1.5, hash: 'no' } }),
	]).toEqual([
		['$.records[0].useType is none of treatment of surfaces,closed space,seed or plant reproductive material'],
		['$.records[0].date is no date'],
		['$.records[0].dose.value is below 0'],
		['$.records[0].growthStage fits none of its forms'],
		['$.records[0].weather is not in the schema'],
		['$.chainHead.entry is no integer', '$.chainHead.hash is not ^[0-9a-f]{64}$'],
	]);
});

test('a file that cannot be written is refused, and so is a period that ends before it starts', async () => {
	const { api, folder } = testBooks();
	expect(await refusal(api.season.recordFile({ ...SEASON, path: folder }))).toMatchObject({ code: 'file.notWritten' });
	expect(await refusal(api.season.recordFile({ from: '2026-10-01', to: '2026-09-30' }))).toMatchObject({
		code: 'period.reversed',
	});
	const path = join(folder, 'records.json');
	expect(await api.season.recordFile({ ...SEASON, path })).toMatchObject({ path, records: 0, incomplete: 0 });
});
