import { expect, test } from 'vitest';
import { changeFigures, changeSubject, words } from '../../../renderer/pages/settings/change-words.ts';
import { contract } from '../../../shared/contract/contract.ts';

const names = new Map([
	['p1', 'Suspension'],
	['j1', 'Wheat, T1'],
]);

const entry = (input: object) => ({
	seq: 1,
	at: '',
	procedure: '',
	who: '',
	changes: 'null',
	input: JSON.stringify(input),
});

test('a change is told by the thing it is about, then by what was said of it', () => {
	expect([
		changeSubject(entry({ jobId: 'j1', load: 2, operator: 'A. Marsh' }), names),
		changeSubject(entry({ productId: 'p1', packs: 4, packSize: 10, date: '2026-11-06' }), names),
		changeSubject({ ...entry({}), input: 'not JSON' }, names),
	]).toEqual(['Wheat, T1, load 2', 'Suspension, packs 4, pack size 10', '']);
});

test('an entry is read with names for ids, units for endings and nothing hidden', () => {
	const input = {
		jobId: 'j1',
		sprayVolumeLPerHa: 150,
		startedAt: '2026-11-18T07:10:00',
		allowShort: false,
		actual: { meteredL: 3996, products: [{ productId: 'p1', amount: 12.27 }] },
		weather: { windSpeedKmh: 9, temperatureC: 15 },
		products: [{ productId: 'gone', dosePerHa: 0.5 }],
	};
	expect(changeFigures(JSON.stringify(input), names)).toEqual([
		['job', 'Wheat, T1'],
		['spray volume (L/ha)', '150'],
		['started at', '18 Nov 2026 07:10'],
		['allow short', 'no'],
		['actual', 'metered (L) 3996, products product Suspension, amount 12.27'],
		['weather', 'wind speed (km/h) 9, temperature (°C) 15'],
		['products', 'product gone, dose per ha 0.5'],
	]);
});

test('every command of the books has a name a farm office reads', () => {
	const commands = Object.entries(contract).flatMap(([module, procedures]) =>
		Object.entries(procedures).flatMap(([name, procedure]) =>
			procedure['~orpc'].meta.kind === 'command' ? [`${module}.${name}`] : [],
		),
	);
	expect(commands.length).toBeGreaterThan(0);
	expect(commands.filter((name) => words[name] === undefined)).toEqual([]);
});
