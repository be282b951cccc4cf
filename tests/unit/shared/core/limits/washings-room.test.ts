import fc from 'fast-check';
import { expect, test } from 'vitest';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import type { Limit, PlannedApplication, PlannedProduct, Treatment } from '../../../../../shared/core/limits/limit.ts';
import { roomForWashings } from '../../../../../shared/core/limits/washings-room.ts';

const COPPER_G_PER_L = 400;
const copper = (gPerHa: number | null) => [{ substance: 'copper', gPerHa, group: 'M01' }];
const max = (kind: Limit['kind'], most: number): Limit => ({
	kind,
	max: most,
	per: 'season',
	source: 'label',
	fromMemory: false,
});

function product(dosePerHa: number, limits: readonly Limit[]): PlannedProduct {
	return { productId: 'a', name: 'A', unit: 'L', dosePerHa, actives: copper(dosePerHa * COPPER_G_PER_L), limits };
}

const before = (dosePerHa: number, part: Partial<Treatment> = {}): Treatment => ({
	...product(dosePerHa, []),
	recordId: 'r',
	application: 'earlier',
	date: '2026-04-20',
	overlap: 'yes',
	planned: false,
	...part,
});

function on(products: readonly PlannedProduct[], history: readonly Treatment[] = []): PlannedApplication {
	return {
		ground: {
			fieldId: 'f',
			crop: ['TRZAW'],
			cropFrom: '2025-10-01',
			cropTo: null,
			season: { from: '2025-08-01', to: '2026-07-31' },
			growthStage: null,
			harvestOn: null,
			bufferM: null,
		},
		date: '2026-05-01',
		sprayVolumeLPerHa: null,
		products,
		history,
		rules: [],
	};
}

test('the tightest dose on the books says how much ground', () => {
	const limits = [
		max('singleDose', 1.25),
		max('totalDose', 2.2),
		{ ...max('activeSubstance', 840), substance: 'copper' },
	];
	const washed = [product(0.1, [])];
	// 0.1 L ÷ (1.25 − 1) = 0.4 ha; with 1 L/ha before it 0.1 ÷ (2.2 − 2) = 0.5 ha; 40 g ÷ (840 − 800) = 1 ha.
	expect(roomForWashings(on([product(1, limits.slice(0, 1))]), washed)).toMatchObject({
		leastHa: expect.closeTo(0.4, 9),
		limitedBy: { product: 'A', kind: 'singleDose' },
	});
	expect(roomForWashings(on([product(1, limits.slice(0, 2))], [before(1)]), washed)).toMatchObject({
		leastHa: expect.closeTo(0.5, 9),
		limitedBy: { product: 'A', kind: 'totalDose' },
	});
	expect(roomForWashings(on([product(1, limits)], [before(1)]), washed)).toMatchObject({
		leastHa: expect.closeTo(1, 9),
		limitedBy: { product: 'A', kind: 'activeSubstance' },
	});
});

test('what may have been on other ground of the field counts, what was not there does not', () => {
	const limits = [max('totalDose', 2)];
	const washed = [product(0.1, [])];
	expect(roomForWashings(on([product(1, limits)], [before(1, { overlap: 'unknown' })]), washed).leastHa).toBeNull();
	expect(roomForWashings(on([product(1, limits)], [before(1, { overlap: 'no' })]), washed).leastHa).toBeCloseTo(0.1, 9);
});

test('no room, no figure and no crop are told apart', () => {
	const washed = [product(0.1, [])];
	const full = roomForWashings(on([product(1, [max('singleDose', 1)])]), washed);
	expect([full.leastHa, full.limitedBy?.kind]).toEqual([null, 'singleDose']);
	expect(roomForWashings(on([product(1, [])]), washed)).toEqual({
		leastHa: 0,
		limitedBy: null,
		unknown: ['A'],
		notForCrop: [],
	});
	const beet: Limit = { kind: 'crop', crops: ['BEAVA'], source: 'label', fromMemory: false };
	expect(roomForWashings(on([product(1, [beet])]), washed).notForCrop).toEqual(['A']);
	const unclear = { ...max('activeSubstance', 900), substance: 'copper' };
	const unknown = roomForWashings(
		on([product(1, [max('singleDose', 2), unclear])], [before(1, { actives: copper(null) })]),
		washed,
	);
	expect(unknown.unknown).toEqual(['A']);
});

test('on the ground said to be enough every dose is kept, on a little less one is not', () => {
	const dose = fc.double({ min: 0.1, max: 3, noNaN: true });
	fc.assert(
		fc.property(dose, dose, dose, fc.double({ min: 0.001, max: 2, noNaN: true }), (base, single, earlier, held) => {
			const limits = [
				max('singleDose', base + single),
				max('totalDose', base + earlier + single / 2),
				{ ...max('activeSubstance', (base + earlier + single / 3) * COPPER_G_PER_L), substance: 'copper' },
			];
			const history = [before(earlier)];
			const { leastHa } = roomForWashings(on([product(base, limits)], history), [product(held, [])]);
			const blocks = (ha: number) =>
				checkLimits(on([product(base + held / ha, limits)], history)).filter(({ verdict }) => verdict === 'block')
					.length;
			expect(blocks((leastHa ?? 0) * (1 + 1e-6))).toBe(0);
			expect(blocks((leastHa ?? 0) * 0.999)).toBeGreaterThan(0);
		}),
		{ seed: 20270427 },
	);
});

test('washings of an earlier job add their dose to it, and count as no treatment more', () => {
	const limits = [max('totalDose', 3), max('treatments', 2)];
	const washed = before(0.2, { recordId: 'w', onTop: true, date: '2026-04-21' });
	const found = checkLimits(on([product(1, limits)], [before(1), washed]));
	expect(found.find(({ kind }) => kind === 'totalDose')).toMatchObject({ value: 2.2, records: ['r', 'w'] });
	expect(found.find(({ kind }) => kind === 'treatments')).toMatchObject({ value: 2, verdict: 'ok', records: ['r'] });
});

test('a nutrient that the field is limited in needs ground as well', () => {
	const urea = (dosePerHa: number, kgPerL: number | null): PlannedProduct => ({
		...product(dosePerHa, [max('singleDose', 300)]),
		nutrients: [{ nutrient: 'N', kgPerHa: kgPerL === null ? null : dosePerHa * kgPerL }],
	});
	const rules: Limit[] = [{ ...max('nutrient', 100), nutrient: 'N', per: 'season' }];
	// 200 L/ha bring 60 kg N/ha, 20 L of washings 6 kg: 6 ÷ (100 − 60) = 0.15 ha; the label alone 20 ÷ (300 − 200) = 0.2 ha.
	const over = (most: number) => ({ ...on([urea(200, 0.3)]), rules: rules.map((rule) => ({ ...rule, max: most })) });
	expect(roomForWashings(over(100), [urea(20, 0.3)])).toMatchObject({
		limitedBy: { product: 'A', kind: 'singleDose' },
	});
	// With 80 kg allowed: 6 ÷ (80 − 60) = 0.3 ha.
	expect(roomForWashings(over(80), [urea(20, 0.3)])).toMatchObject({
		leastHa: expect.closeTo(0.3, 9),
		limitedBy: { product: 'nitrogen', kind: 'nutrient' },
	});
	expect(roomForWashings(over(60), [urea(20, 0.3)]).leastHa).toBeNull();
	expect(roomForWashings({ ...over(80), products: [urea(200, null)] }, [urea(20, null)]).unknown).toEqual(['nitrogen']);
	expect(roomForWashings(over(10), [product(1, [])]).limitedBy?.kind).not.toBe('nutrient');
});
