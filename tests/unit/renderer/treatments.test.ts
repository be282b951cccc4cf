import { expect, test } from 'vitest';
import { doseWords, entryIn, narrowed, treatmentsOf } from '../../../renderer/pages/records/treatments.ts';
import type { RecordLine } from '../../../shared/contract/records.ts';

function line(over: Partial<RecordLine>): RecordLine {
	return {
		id: 'r',
		date: '2026-04-15',
		fieldId: 'f1',
		field: 'Long Piece',
		treatedHa: 10,
		kind: 'spray in water',
		carrier: null,
		seed: null,
		space: null,
		washings: null,
		productId: 'p1',
		product: 'Suspension',
		formulation: 'SC',
		authorisationNo: null,
		dosePerHa: 1,
		nutrients: [],
		amount: 10,
		unit: 'L',
		crop: 'Winter wheat',
		eppoCode: null,
		useType: 'treatment of surfaces',
		growthStage: null,
		reason: 'septoria',
		startedAt: '2026-04-15T07:00:00Z',
		finishedAt: '2026-04-15T08:00:00Z',
		operator: 'A. Marsh',
		certificateNo: null,
		sprayer: 'Trailed',
		sprayVolumeLPerHa: 100,
		weather: null,
		bufferM: null,
		assessed: null,
		flowering: null,
		told: null,
		noEntryUntil: null,
		harvestFrom: null,
		jobId: 'j1',
		load: 1,
		version: 1,
		state: 'current',
		confirmed: true,
		why: null,
		by: 'A. Marsh',
		overrideWhy: null,
		findings: [],
		writtenAt: '2026-04-15T08:00:00Z',
		createdAt: '2026-04-15T08:00:00Z',
		missing: [],
		writeBy: null,
		keepUntil: '2029-12-31',
		seq: 1,
		hash: '00',
		...over,
	};
}

const lines = [
	line({ id: '1' }),
	line({ id: '2', productId: 'p2', product: 'Granule', formulation: 'WG', unit: 'kg', dosePerHa: 0.5, amount: 5 }),
	line({ id: '3', load: 2, treatedHa: 4, amount: 4.04, dosePerHa: 1.01, confirmed: false }),
	line({ id: '4', fieldId: 'f2', field: 'Mill Bank', treatedHa: 6, amount: 6, missing: ['wind'] }),
	line({ id: '5', fieldId: 'f2', field: 'Mill Bank', treatedHa: 6, amount: 6, state: 'reversed' }),
	line({ id: '6', jobId: 'j2', date: '2026-05-20', crop: null, reason: null }),
];

test('lines of a job are one treatment: the tank’s ground once, its loads together, what was taken back not counted', () => {
	const treatments = treatmentsOf(lines).map((each) => ({
		day: each.lastDate,
		title: each.title,
		fields: each.fields.map(({ name, treatedHa }) => [name, treatedHa]),
		products: each.products.map((product) => [product.name, product.amount, doseWords(product)]),
		lines: each.lines.length,
		missing: each.missing,
		unconfirmed: each.unconfirmed,
	}));
	expect(treatments).toEqual([
		{
			day: '2026-05-20',
			title: 'Crop and reason not entered',
			fields: [['Long Piece', 10]],
			products: [['Suspension SC', 10, '1 L/ha']],
			lines: 1,
			missing: [],
			unconfirmed: 0,
		},
		{
			day: '2026-04-15',
			title: 'Winter wheat: septoria',
			fields: [
				['Long Piece', 14],
				['Mill Bank', 6],
			],
			products: [
				['Granule WG', 5, '0.5 kg/ha'],
				['Suspension SC', 20.04, '1 L/ha'],
			],
			lines: 5,
			missing: ['wind'],
			unconfirmed: 1,
		},
	]);
});

test('closed spaces of a job are told one by one, and add up', () => {
	const bin = (id: string, field: string, amount: number) =>
		line({
			...{ id, field, fieldId: null, treatedHa: 0, kind: 'closed space', dosePerHa: null, amount: amount / 1000 },
			space: {
				...{ spaceId: field, kind: 'silo or bin', code: null, place: null, point: null, volumeM3: null },
				...{ floorM2: amount, amount, unit: 'm²', dose: { value: 1, unit: 'mL/m²' }, empty: true },
			},
		});
	const [treatment] = treatmentsOf([bin('1', 'Bin 1', 180), bin('2', 'Bin 2', 60), bin('3', 'Bin 2', 20)]);
	expect(treatment?.fields.map(({ name }) => name)).toEqual(['Bin 1', 'Bin 2']);
	expect(treatment?.space).toEqual({ amount: 260, unit: 'm²' });
});

test('every word typed must stand somewhere in the line', () => {
	const find = (text: string) =>
		narrowed(lines, { fieldId: null, productId: null, text, onlyLacking: false }).map(({ id }) => id);
	expect([find('mill wheat'), find('GRANULE'), find('20 may'), find('nothing such')]).toEqual([
		['4', '5'],
		['2'],
		['6'],
		[],
	]);
});

test('what was written since an entry, and the entry of a printed line', () => {
	const numbered = lines.map((line, index) => ({ ...line, seq: index + 1 }));
	const asked = { fieldId: null, productId: null, text: `after ${lines.length - 2}`, onlyLacking: false };
	expect(narrowed(numbered, asked).map(({ seq }) => seq)).toEqual([lines.length - 1, lines.length]);
	expect(['entry 282', ' Entry 9 ', 'entry', 'entry 9 wheat'].map(entryIn)).toEqual([282, 9, null, null]);
});
