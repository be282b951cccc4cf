/**
 * Copper over seven years: 28 kg/ha in 7 years, Implementing Regulation (EU) 2018/1981. Six years of 4.8, 3.9, 4.2, 0, 5.0
 * and 4.4 kg/ha come to 22.3; 5.7 kg/ha are left for the seventh.
 */
import { expect, test } from 'vitest';
import type { Limit, PlannedProduct, Treatment } from '../../shared/core/limits/limit.ts';
import { usedSoFar } from '../../shared/core/limits/sum-limits.ts';

const limit: Limit = {
	kind: 'activeSubstance',
	substance: 'copper',
	max: 28_000,
	per: 'years',
	years: 7,
	source: 'Implementing Regulation (EU) 2018/1981',
	fromMemory: false,
};
const product = (gPerHa: number) => ({
	productId: 'cu',
	name: 'Copper',
	unit: 'kg' as const,
	dosePerHa: gPerHa / 350,
	actives: [{ substance: 'Copper', gPerHa, group: null }],
});
const year = (of: number, kgPerHa: number): Treatment => ({
	...product(kgPerHa * 1000),
	recordId: `r${of}`,
	application: `j${of}`,
	date: `${of}-05-10`,
	overlap: 'yes',
	planned: false,
});
const ground = {
	fieldId: 'f',
	crop: [],
	cropFrom: null,
	cropTo: null,
	season: { from: '2025-10-01', to: '2026-09-30' },
	growthStage: null,
	harvestOn: null,
	bufferM: null,
};

function used(history: readonly Treatment[], date: string) {
	const planned: PlannedProduct = { ...product(0), limits: [limit] };
	const application = { ground, date, sprayVolumeLPerHa: null, products: [planned], history, rules: [] };
	return usedSoFar({ limit, application, product: planned });
}

const history = [year(2020, 4.8), year(2021, 3.9), year(2022, 4.2), year(2024, 5), year(2025, 4.4)];

test('copper: 22.3 of 28 kg/ha are used in six years', () => {
	const sum = used(history, '2026-04-01');
	expect({ ...sum, used: Math.round(sum?.used ?? 0) }).toEqual({
		what: 'copper',
		per: '7 years',
		since: '2020-05-10',
		used: 22_300,
		max: 28_000,
		unit: 'g/ha',
		records: ['r2020', 'r2021', 'r2022', 'r2024', 'r2025'],
	});
});

test('a treatment leaves the sum once seven years have passed', () => {
	const [before, after] = ['2027-05-09', '2027-05-10'].map((date) => Math.round(used(history, date)?.used ?? 0));
	expect([before, after]).toEqual([22_300, 17_500]);
});
