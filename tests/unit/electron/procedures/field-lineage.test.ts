import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { sidesOf } from '../../../../renderer/pages/fields/sides.ts';
import { type Api, refusal, testBooks } from './test-books.ts';

/* Two invented neighbours with a common edge at 0.1046° E, each some 9.8 ha. */

function block(west: number, east: number) {
	return {
		type: 'Polygon' as const,
		coordinates: [
			[
				[west, 52.1],
				[west, 52.1028],
				[east, 52.1028],
				[east, 52.1],
				[west, 52.1],
			],
		],
	};
}

async function farm(api: Api, fromMemory = false) {
	const { id: westId } = await api.fields.add({ name: 'West Piece', mappedHa: 9.8, geometry: block(0.1, 0.1046) });
	const { id: eastId } = await api.fields.add({ name: 'East Piece', mappedHa: 9.7, geometry: block(0.1046, 0.1092) });
	const { id: productId } = await api.products.add({
		name: 'Suspension',
		formulation: 'SC',
		unit: 'L',
		packSizes: [5],
		limits: [{ kind: 'treatments', max: 1, per: 'calendar year', source: 'label', fromMemory }],
	});
	const { id: sprayerId } = await api.sprayers.add({ name: 'Trailed', capacityL: 4000, minimumL: 300 });
	await api.store.receive({ key: 'in', productId, packSize: 5, packs: 40, date: '2026-03-01' });
	return { westId, eastId, productId, sprayerId };
}

const fresh = async (api: Api, id: string) => {
	const { field } = await api.fields.get({ id });
	return { id, version: field.version };
};

/** Sprays a whole field in one load and closes the job. */
async function spray(
	api: Api,
	{ productId, sprayerId }: { productId: string; sprayerId: string },
	fieldId: string,
	{ date = '2026-04-10', overrideWhy }: { date?: string; overrideWhy?: string } = {},
) {
	const job = await api.jobs.add({
		key: `plan ${fieldId}`,
		sprayerId,
		date,
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId }],
		products: [{ productId, dosePerHa: 1 }],
		...(overrideWhy === undefined ? {} : { overrideWhy }),
	});
	const load = job.loads[0];
	if (!load) throw new Error('no load was planned');
	await api.jobs.logLoad({
		key: `log ${fieldId}`,
		jobId: job.id,
		load: 1,
		startedAt: `${date}T08:00:00`,
		finishedAt: `${date}T10:00:00`,
		operator: 'A. Operator',
	});
	await api.jobs.close({ key: `close ${fieldId}`, id: job.id });
}

test('a split field leaves the register; its parts carry the crop and the strips on their ground', async () => {
	const { api } = testBooks();
	const { westId } = await farm(api);
	await api.fields.addStrip({
		key: 's',
		id: westId,
		kind: 'strip',
		label: 'Ditch',
		widthM: 5,
		edges: [{ ring: 0, edge: 0 }],
	});
	await api.fields.addStrip({ key: 'o', id: westId, kind: 'obstacle', label: 'Pond', areaHa: 0.02 });
	const { geometry, field } = await api.fields.get({ id: westId });
	if (!geometry) throw new Error('no boundary');
	const parts = await api.fields.cut({
		geometry,
		line: [
			[0.102, 52.099],
			[0.102, 52.104],
		],
	});
	const split = await api.fields.split({
		key: 'split',
		...(await fresh(api, westId)),
		parts: parts.map((part, index) => ({ name: `West ${index + 1}`, geometry: part.geometry })),
	});
	const register = await api.fields.list({});
	const details = await Promise.all(split.fields.map(({ id }) => api.fields.get({ id })));
	const total = parts.reduce((sum, { areaHa }) => sum + areaHa, 0);
	expect({
		register: register.map(({ name }) => name),
		lost: Math.abs(total - (field.measuredHa ?? 0)) * 10_000 < 1,
		strips: details.map(({ strips }) => strips.map(({ label }) => label)),
		from: details.map(({ cameFrom }) => cameFrom.map(({ name, kind }) => `${kind} ${name}`)),
		warnings: split.warnings.map(({ code }) => code),
		onTheMap: (await api.fields.boundaries({})).map(({ name }) => name),
	}).toEqual({
		register: ['East Piece', 'West 1', 'West 2'],
		lost: true,
		strips: [[], ['Ditch']],
		from: [['split West Piece'], ['split West Piece']],
		warnings: ['strip.notPlaced', 'mapped.notShared'],
		onTheMap: ['East Piece', 'West 1', 'West 2'],
	});
});

test('limits follow the ground through a split and a merge', async () => {
	const { api } = testBooks();
	const farmed = await farm(api);
	const { westId, eastId, productId } = farmed;
	await spray(api, farmed, westId);
	const { geometry } = await api.fields.get({ id: westId });
	if (!geometry) throw new Error('no boundary');
	const line = [
		[0.102, 52.099],
		[0.102, 52.104],
	];
	const parts = await api.fields.cut({ geometry, line });
	const split = await api.fields.split({
		key: 'split',
		...(await fresh(api, westId)),
		parts: parts.map((part, index) => ({ name: `West ${index + 1}`, geometry: part.geometry })),
	});
	const merged = await api.fields.merge({
		key: 'merge',
		fields: [await fresh(api, split.fields[0]?.id ?? ''), await fresh(api, eastId)],
		name: 'Long Field',
	});
	const verdicts = async (fieldId: string) =>
		(
			await api.limits.check({
				date: '2026-05-20',
				fields: [{ fieldId }],
				products: [{ productId, dosePerHa: 1 }],
			})
		)
			.filter(({ kind }) => kind === 'treatments')
			.map(({ verdict, value }) => `${verdict} ${value}`);
	expect({
		untouched: await verdicts(eastId),
		part: await verdicts(split.fields[1]?.id ?? ''),
		merged: await verdicts(merged.fields[0]?.id ?? ''),
	}).toEqual({ untouched: ['ok 1'], part: ['block 2'], merged: ['block 2'] });
});

test('what was answered about the ground goes with it; of merged fields only what was answered alike', async () => {
	const { api } = testBooks();
	const { westId, eastId } = await farm(api);
	const said: [condition: string, west: boolean, east: boolean | null][] = [
		['drained land', true, true],
		['sandy soil', true, false],
		['slope to water', false, null],
	];
	for (const [condition, west, east] of said) {
		const fields = [
			{ fieldId: westId, holds: west },
			{ fieldId: eastId, holds: east },
		];
		await api.limits.answerCondition({ key: condition, condition, fields });
	}
	const answers = async (fieldId: string) =>
		(await api.limits.conditions({ fieldId })).map(({ condition, holds }) => [condition, holds]);
	const { geometry } = await api.fields.get({ id: westId });
	if (!geometry) throw new Error('no boundary');
	const line = [
		[0.102, 52.099],
		[0.102, 52.104],
	];
	const parts = await api.fields.cut({ geometry, line });
	const { fields } = await api.fields.split({
		key: 'split',
		...(await fresh(api, westId)),
		parts: parts.map((part, index) => ({ name: `West ${index + 1}`, geometry: part.geometry })),
	});
	for (const { id } of fields) {
		expect(await answers(id)).toEqual(said.map(([condition, west]) => [condition, west]));
	}
	const both = [await fresh(api, fields[1]?.id ?? ''), await fresh(api, eastId)];
	const merged = await api.fields.merge({ key: 'merge', fields: both, name: 'Middle' });
	expect(await answers(merged.fields[0]?.id ?? '')).toEqual([['drained land', true]]);
});

test('records, season totals and the review of limits follow the ground, not the name', async () => {
	const { api } = testBooks();
	const farmed = await farm(api, true);
	const { westId, eastId, productId } = farmed;
	await spray(api, farmed, westId);
	const { geometry, field: west } = await api.fields.get({ id: westId });
	if (!geometry) throw new Error('no boundary');
	const line = [
		[0.102, 52.099],
		[0.102, 52.104],
	];
	const parts = await api.fields.cut({ geometry, line });
	const { fields } = await api.fields.split({
		key: 'split',
		...(await fresh(api, westId)),
		parts: parts.map((part, index) => ({ name: `West ${index + 1}`, geometry: part.geometry })),
	});
	const [large, small] = [fields[0]?.id ?? '', fields[1]?.id ?? ''];
	await spray(api, farmed, small, { date: '2026-04-24', overrideWhy: 'the label was read wrongly' });
	const told = async (fieldId: string) =>
		(await api.records.list({ fieldId, ground: true })).map(({ field, date, onGround }) => [
			field,
			date,
			onGround && Math.round(onGround.leastHa * 100) / 100,
		]);
	const wholeHa = west.measuredHa ?? 0;
	const smallHa = fields[1]?.measuredHa ?? 0;
	const statement = await api.season.statement({ from: '2026-01-01', to: '2026-12-31' });
	const report = (name: string) => api.season.read({ report: name, from: '2026-01-01', to: '2026-12-31' });
	const areas = await report('area statement');
	expect({
		small: await told(small),
		large: await told(large),
		east: await told(eastId),
		byNameAlone: (await api.records.list({ fieldId: small })).length,
		statement: statement.products.map(({ treatedHa, basicHa }) => [treatedHa, basicHa]),
		totals: [areas.totals?.['measuredHa'], areas.totals?.['basicHa']],
		areaNote: areas.notes.some((note) => note.includes('West Piece')),
		diary: (await report('diary by field')).notes.filter((note) => note.includes('West Piece')).length,
		limits: (await report('limit review')).rows.map(({ field, date, kind, value }) => [field, date, kind, value]),
		productId: statement.products[0]?.productId,
	}).toEqual({
		small: [
			['West 2', '2026-04-24', undefined],
			['West Piece', '2026-04-10', expect.closeTo(smallHa, 1)],
		],
		large: [['West Piece', '2026-04-10', expect.closeTo(wholeHa - smallHa, 1)]],
		east: [],
		byNameAlone: 1,
		statement: [[expect.closeTo(wholeHa + smallHa, 4), expect.closeTo(wholeHa, 2)]],
		totals: [expect.closeTo(wholeHa + 9.8, 0), expect.closeTo(wholeHa, 2)],
		areaNote: true,
		diary: 2,
		limits: [['West 2', '2026-04-24', 'number of treatments', expect.stringContaining('2')]],
		productId,
	});
});

test('a field in an open job, parts of other ground and a changed field are refused', async () => {
	const { api } = testBooks();
	const { westId, eastId, productId, sprayerId } = await farm(api);
	const seen = await fresh(api, westId);
	const halves = [
		{ name: 'A', geometry: block(0.1, 0.102) },
		{ name: 'B', geometry: block(0.102, 0.104) },
	];
	const short = await refusal(api.fields.split({ key: 'k1', ...seen, parts: halves }));
	await api.fields.update({ key: 'u', ...seen, name: 'West' });
	const stale = await refusal(api.fields.merge({ key: 'k2', fields: [seen, await fresh(api, eastId)], name: 'Both' }));
	await api.jobs.add({
		key: 'plan',
		sprayerId,
		date: '2026-04-10',
		sprayVolumeLPerHa: 200,
		fields: [{ fieldId: eastId }],
		products: [{ productId, dosePerHa: 1 }],
	});
	const open = await refusal(
		api.fields.merge({ key: 'k3', fields: [await fresh(api, westId), await fresh(api, eastId)], name: 'Both' }),
	);
	const uncut = await refusal(
		api.fields.cut({
			geometry: block(0.1, 0.102),
			line: [
				[0.1005, 52.1005],
				[0.1015, 52.1015],
			],
		}),
	);
	expect([short.code, stale.code, open.code, uncut.code]).toEqual([
		'fields.partsDiffer',
		'row.changed',
		'fields.openJobs',
		'fields.notCut',
	]);
});

test('a merged field takes the sum of the mapped areas, and no job is planned on what it was', async () => {
	const { api } = testBooks();
	const { westId, eastId, productId, sprayerId } = await farm(api);
	const merged = await api.fields.merge({
		key: 'merge',
		fields: [await fresh(api, westId), await fresh(api, eastId)],
		name: 'Both Pieces',
		code: 'B1',
	});
	const [field] = await api.fields.list({});
	const planned = await refusal(
		api.jobs.preview({
			sprayerId,
			date: '2026-04-10',
			sprayVolumeLPerHa: 200,
			fields: [{ fieldId: westId }],
			products: [{ productId, dosePerHa: 1 }],
		}),
	);
	expect([field?.id, field?.mappedHa, merged.warnings, planned.code]).toEqual([
		merged.fields[0]?.id,
		expect.closeTo(19.5, 9),
		[],
		'fields.retired',
	]);
});

test('a new boundary takes force and the one before stays in the history; a crossing one is refused', async () => {
	const { api } = testBooks();
	const { westId } = await farm(api);
	const seen = await fresh(api, westId);
	const after = await api.fields.setBoundary({
		key: 'b',
		...seen,
		geometry: block(0.1, 0.1043),
		source: 'drawn on the map',
	});
	const bow = {
		type: 'Polygon' as const,
		coordinates: [
			[
				[0.1, 52.1],
				[0.104, 52.103],
				[0.104, 52.1],
				[0.1, 52.103],
				[0.1, 52.1],
			],
		],
	};
	const crossed = await refusal(
		api.fields.setBoundary({ key: 'c', ...(await fresh(api, westId)), geometry: bow, source: 'drawn' }),
	);
	const stale = await refusal(
		api.fields.setBoundary({ key: 'd', ...seen, geometry: block(0.1, 0.105), source: 'drawn' }),
	);
	const over = await api.fields.sharedGround({ id: westId, geometry: block(0.1, 0.105) });
	expect({
		history: after.measurements.map(({ source }) => source),
		smaller: (after.field.measuredHa ?? 0) < 9.7,
		refused: [crossed.code, stale.code],
		over: over.map(({ name, m2 }) => [name, Math.round(m2 / 100)]),
	}).toEqual({
		history: ['drawn on the map', 'entered by hand'],
		smaller: true,
		refused: ['geometry.invalid', 'row.changed'],
		over: [['East Piece', 85]],
	});
});

test('next season’s crops follow the rotation; what was entered already stays', async () => {
	const { api } = testBooks();
	const { westId, eastId } = await farm(api);
	await api.fields.setCrop({ key: '1', id: westId, season: 2026, crop: 'Winter wheat' });
	await api.fields.setCrop({ key: '2', id: eastId, season: 2026, crop: 'Winter wheat' });
	await api.fields.setCrop({ key: '3', id: eastId, season: 2027, crop: 'Linseed' });
	await api.fields.add({ name: 'No crop yet' });
	const rolled = await api.fields.rollSeason({
		key: 'roll',
		from: 2026,
		to: 2027,
		rotation: [{ crop: 'Winter wheat', next: 'Sugar beet', eppoCode: 'BEAVA' }],
	});
	const standing = (await api.fields.crops({ season: 2026 })).map(({ crop, fields, areaHa }) => [
		crop,
		fields,
		Math.round(areaHa),
	]);
	expect(standing).toEqual([['Winter wheat', 2, 20]]);
	const crops = async (id: string) =>
		(await api.fields.get({ id })).crops.map(({ season, crop }) => `${season} ${crop}`);
	expect([rolled, await crops(westId), await crops(eastId)]).toEqual([
		{
			...{ entered: 1, leftEmpty: 1, kept: 1 },
			byCrop: [
				{ crop: 'Winter wheat', next: 'Sugar beet', entered: 1, leftEmpty: 0, kept: 1 },
				{ crop: null, next: null, entered: 0, leftEmpty: 1, kept: 0 },
			],
		},
		['2027 Sugar beet', '2026 Winter wheat'],
		['2027 Linseed', '2026 Winter wheat'],
	]);
});

test('a strip can run along a side of any part, as the page names its sides', async () => {
	const { api } = testBooks();
	const parts = [block(0.1, 0.102), block(0.11, 0.112)].map(({ coordinates }) => coordinates);
	const geometry = { type: 'MultiPolygon' as const, coordinates: parts };
	const { id } = await api.fields.add({ name: 'Two Parts', geometry });
	const side = sidesOf(geometry).find(({ faces, edges }) => faces === 'east' && edges[0]?.part === 1);
	const after = await api.fields.addStrip({
		key: 's',
		id,
		kind: 'strip',
		label: 'Brook',
		widthM: 6,
		edges: [...(side?.edges ?? [])],
	});
	/* 0.0028° of latitude are 311.5 m at 52° N; 6 m along it 0.187 ha. */
	expect(after.strips.map(({ areaHa }) => Number(areaHa.toFixed(3)))).toEqual([0.187]);
});

test('strips and obstacles go with a boundary that is drawn anew; what cannot be placed is named', async () => {
	const { api } = testBooks();
	const { westId } = await farm(api);
	const left = { key: 'w', id: westId, kind: 'strip' as const, label: 'Western ditch', widthM: 5 };
	await api.fields.addStrip({ ...left, edges: [{ ring: 0, edge: 0 }] });
	await api.fields.addStrip({ ...left, key: 'n', label: 'Northern ditch', edges: [{ ring: 0, edge: 1 }] });
	await api.fields.addStrip({
		key: 'p',
		id: westId,
		kind: 'obstacle',
		label: 'Pond',
		geometry: { type: 'Polygon', coordinates: [[...corners(0.1044, 0.10445, 52.101, 52.1012)]] },
	});
	const before = await told(api, westId);
	const draw = async (west: number, east: number) => {
		const geometry = block(west, east);
		await api.fields.setBoundary({ key: `${west} ${east}`, ...(await fresh(api, westId)), geometry, source: 'drawn' });
		return told(api, westId);
	};
	const [ditch, , pond] = before.map(([, m2]) => Number(m2));
	expect({
		before: before.map(([label, , look]) => [label, look]),
		digitisedAgain: await draw(0.10001, 0.1046),
		shorter: await draw(0.10001, 0.1043),
		moved: await draw(0.1003, 0.1043),
	}).toEqual({
		before: [
			['Western ditch', undefined],
			['Northern ditch', undefined],
			['Pond', undefined],
		],
		digitisedAgain: [
			['Western ditch', expect.closeTo(ditch ?? 0, -1), undefined],
			['Northern ditch', expect.any(Number), undefined],
			['Pond', pond, undefined],
		],
		shorter: [
			['Western ditch', expect.closeTo(ditch ?? 0, -1), undefined],
			['Northern ditch', expect.any(Number), undefined],
		],
		moved: [
			['Western ditch', expect.any(Number), expect.stringContaining('could not be found')],
			['Northern ditch', expect.any(Number), undefined],
		],
	});
	const { field, strips } = await api.fields.get({ id: westId });
	expect(field.loadForHa).toBeCloseTo((field.measuredHa ?? 0) - strips.reduce((sum, { areaHa }) => sum + areaHa, 0), 6);
});

test('an import that brings a boundary anew names the strips it moved and those to be looked at', async () => {
	const { api, folder } = testBooks();
	const { westId } = await farm(api);
	const ditch = { id: westId, kind: 'strip' as const, label: 'Ditch', widthM: 5, edges: [{ ring: 0, edge: 0 }] };
	await api.fields.addStrip({ key: 'd', ...ditch });
	await api.fields.addStrip({ key: 'o', id: westId, kind: 'obstacle', label: 'Pylons', areaHa: 0.01 });
	const path = join(folder, 'again.geojson');
	const feature = { type: 'Feature', properties: { name: 'West Piece' }, geometry: block(0.10001, 0.1044) };
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features: [feature] }));
	const { updated, warnings } = await api.fields.import({ path });
	const { measurements } = await api.fields.get({ id: westId });
	expect({
		updated: updated.map(({ name, matchedBy }) => [name, matchedBy]),
		warnings: warnings.filter(({ code }) => code.startsWith('strip')).map(({ code, message }) => [code, message]),
		strips: (await told(api, westId)).map(([label, , look]) => [label, look !== undefined]),
		history: measurements.map(({ source }) => source),
	}).toEqual({
		updated: [['West Piece', 'name']],
		warnings: [
			['strip.moved', 'West Piece: Ditch moved with the boundary; the area was worked out again.'],
			[
				'strip.lookAt',
				'West Piece: Pylons could not be placed on the new boundary for certain: look at it and note it again.',
			],
		],
		strips: [
			['Pylons', true],
			['Ditch', false],
		],
		history: ['again.geojson', 'entered by hand'],
	});
	const pylons = (await api.fields.get({ id: westId })).strips.find(({ label }) => label === 'Pylons');
	const kept = await api.fields.keepStrip({ key: 'kept', id: westId, stripId: pylons?.id ?? '' });
	expect(kept.strips.map(({ label, areaHa, look }) => [label, areaHa, look]).toSorted()).toEqual([
		['Ditch', expect.any(Number), undefined],
		['Pylons', 0.01, undefined],
	]);
});

test('where a file names no reference system, the choices nearest to the farm come first', async () => {
	const { api, folder } = testBooks();
	await farm(api);
	const path = join(folder, 'grid.geojson');
	const ring = [
		[651_000, 313_000],
		[651_000, 313_200],
		[651_200, 313_200],
		[651_000, 313_000],
	];
	const feature = { type: 'Feature', properties: { name: 'Grid' }, geometry: { type: 'Polygon', coordinates: [ring] } };
	writeFileSync(path, JSON.stringify({ type: 'FeatureCollection', features: [feature] }));
	const { code, details } = await refusal(api.fields.import({ path, dryRun: true }));
	const { choices } = details as { choices: { crs: string; kmFromFarm: number }[] };
	const distances = choices.map(({ kmFromFarm }) => kmFromFarm);
	expect([code, choices[0]?.crs, distances.length > 5, distances]).toEqual([
		'file.crsUnknown',
		'EPSG:27700',
		true,
		distances.toSorted((one, other) => one - other),
	]);
});

const corners = (west: number, east: number, south: number, north: number) => [
	[west, south],
	[west, north],
	[east, north],
	[east, south],
	[west, south],
];

async function told(api: Api, id: string) {
	const { strips } = await api.fields.get({ id });
	return strips.map(({ label, areaHa, look }) => [label, Math.round(areaHa * 10_000), look]);
}

test('fields that touch nowhere are merged with a word, neighbours without', async () => {
	const { api } = testBooks();
	const { westId, eastId } = await farm(api);
	const both = await api.fields.merge({
		key: 'near',
		fields: [await fresh(api, westId), await fresh(api, eastId)],
		name: 'Long Field',
	});
	expect(both.warnings).toEqual([]);
	const { id: farId } = await api.fields.add({ name: 'Far Piece', geometry: block(0.12, 0.1246) });
	// Told before: 0.0108° of 68,500 m lie between them, with the ground of neither field.
	const before = await api.fields.mergeGround({ ids: [both.fields[0]?.id ?? '', farId] });
	expect(before).toMatchObject({ parts: 2, gap: { narrowestM: expect.closeTo(739.8, 0), areaHa: null } });
	const apart = await api.fields.merge({
		key: 'apart',
		fields: [await fresh(api, both.fields[0]?.id ?? ''), await fresh(api, farId)],
		name: 'All of it',
	});
	expect(apart.warnings.map(({ code }) => code)).toEqual(['merge.apart']);
	expect(before.areaHa).toBe(apart.fields[0]?.measuredHa);
	const nobody = await refusal(api.fields.mergeGround({ ids: [farId, '01890000-0000-7000-8000-000000000000'] }));
	expect(nobody.code).toBe('not.found');
});
