import { expect, test } from 'vitest';
import { entryIn, readTyped } from '../../../renderer/parts/typed-unit.ts';

const read = (typed: string, unit: string) => {
	const answer = readTyped(typed, unit);
	return answer.state === 'read' ? answer.value : answer.state;
};

/** NIST Handbook 44, Appendix C: 1 gal = 3.785411784 L, 1 fl oz = 29.57353 mL, 1 lb = 0.45359237 kg, 1 acre = 0.4046856 ha. */
test('an entry takes the units of US labels and counters', () => {
	expect(read('800 gal', 'L')).toBeCloseTo(3028.329, 3);
	expect(read('12 fl oz', 'L')).toBeCloseTo(0.3548824, 7);
	expect(read('2.5gal', 'L')).toBeCloseTo(9.463529, 6);
	expect(read('15 gal/ac', 'L/ha')).toBeCloseTo(140.3093, 4);
	expect(read('15 GPA', 'L/ha')).toBeCloseTo(140.3093, 4);
	expect(read('1,5 lb', 'kg')).toBeCloseTo(0.6803886, 7);
	expect(read('8 oz', 'kg')).toBeCloseTo(0.2267962, 7);
	expect(read('80 acres', 'ha')).toBeCloseTo(32.37485, 5);
	expect(read('40 psi', 'bar')).toBe(2.758);
	expect(read('10 mph', 'km/h')).toBe(16.09);
	expect(read('20 in', 'm')).toBeCloseTo(0.508, 9);
	expect(read('60 gpm', 'L/min')).toBeCloseTo(227.1247, 4);
	expect(read('59 °F', '°C')).toBeCloseTo(15, 9);
});

test('the unit of the entry may be typed too, none changes nothing, and a wrong one is asked back', () => {
	expect([read('3000 L', 'L'), read('3000', 'L'), read('750 ml', 'L'), read('12,5 kg', 'kg')]).toEqual([
		3000, 3000, 0.75, 12.5,
	]);
	expect([read('800 gal', 'ha'), read('8 furlong', 'm'), read('1,875 gal', 'L'), read('', 'L')]).toEqual([
		'unclear',
		'unclear',
		'unclear',
		'empty',
	]);
});

test('on a farm in the US an entry stands in its units, and its value stays metric', () => {
	const shown = (unit: string, first: number | null, typed: string) => {
		const entry = entryIn('US customary', unit, first);
		const read = entry.read(typed);
		if (read.state !== 'read') return read.state;
		return [entry.unit, read.value, entry.write(read.value), read.converted === true];
	};
	expect(shown('L/ha', 200, '15')).toEqual(['gal/ac', 140.3093, '15', false]);
	expect(shown('L/ha', 200, '15 GPA')).toEqual(['gal/ac', 140.3093, '15', false]);
	expect(shown('L/ha', 200, '140.3093 L/ha')).toEqual(['gal/ac', 140.3093, '15', true]);
	expect(shown('ha', null, '80')).toEqual(['ac', 32.37485, '80', false]);
	expect(shown('L', 0.35, '12')).toEqual(['fl oz', 0.3548824, '12', false]);
	expect(shown('bar', 3, '40')).toEqual(['psi', 2.758, '40', false]);
	expect(shown('km/h', 3, '10')).toEqual(['mph', 16.09, '10', false]);
	expect(shown('°C', null, '64')).toEqual(['°F', 17.8, '64', false]);
	expect(shown('%', null, '12')).toEqual(['%', 12, '12', false]);
	expect(shown('L', null, '1,875')).toBe('unclear');
	expect(shown('L', null, '')).toBe('empty');
	const metric = entryIn('metric', 'L', null);
	expect([metric.unit, metric.write(12.5), metric.read('12.5')]).toEqual(['L', '12.5', { state: 'read', value: 12.5 }]);
});
