import { describe, expect, test } from 'vitest';
import { mixOrder } from '../../../../../shared/core/filling/mix-order.ts';
import { mixDensity, shareCarrier } from '../../../../../shared/core/loads/fertiliser-carrier.ts';

const loads = [
	{ newMixL: 3000, waterL: 2940 },
	{ newMixL: 1500, waterL: 1470 },
];

describe('fertiliser in the tank', () => {
	test('all that is not product is fertiliser', () => {
		expect(shareCarrier(loads, 150, { densityKgPerL: 1.28, lPerHa: null })).toEqual({
			ok: true,
			value: [
				{ carrierL: 2940, carrierKg: 2940 * 1.28, waterL: 0 },
				{ carrierL: 1470, carrierKg: 1470 * 1.28, waterL: 0 },
			],
		});
	});

	test('100 L/ha of it are made up with water', () => {
		expect(shareCarrier(loads, 150, { densityKgPerL: 1.28, lPerHa: 100 })).toEqual({
			ok: true,
			value: [
				{ carrierL: 2000, carrierKg: 2560, waterL: 940 },
				{ carrierL: 1000, carrierKg: 1280, waterL: 470 },
			],
		});
	});

	test('more than the products leave room for is refused with the room', () => {
		const refused = shareCarrier(loads, 150, { densityKgPerL: 1.28, lPerHa: 148 });
		expect(refused.ok ? null : refused.problem).toEqual({
			code: 'load.noRoomForCarrier',
			details: { carrierLPerHa: 148, roomLPerHa: 147, sprayVolumeLPerHa: 150 },
		});
	});

	test('half fertiliser, half water is half as much heavier', () => {
		expect(mixDensity({ carrierL: 500, carrierKg: 640, waterL: 500 }, 1000)).toBe(1.14);
	});
});

describe('the order in fertiliser', () => {
	const of = (...codes: string[]) => codes.map((formulation) => ({ name: formulation, formulation }));
	const order = (products: Parameters<typeof mixOrder>[0]['products'], carrier?: 'liquid fertiliser') => {
		const found = mixOrder({ products, coding: 'international', ...(carrier ? { carrier } : {}) });
		return found.ok ? found.value.map(({ name }) => name) : found.problem.code;
	};

	/**
	 * South Dakota State University Extension, *Preparing Spray Solutions: Mixing Order*: dry products, liquids and
	 * flowables, emulsifiable concentrates, micro-encapsulated ones, surfactants.
	 */
	test('solutions before concentrates, capsules after them', () => {
		const partners = [
			...of('CS', 'EC', 'SL', 'SC', 'WG'),
			{ name: 'wetter', formulation: 'SL', kind: 'surfactant' as const },
		];
		expect(order(partners, 'liquid fertiliser')).toEqual(['WG', 'SC', 'SL', 'EC', 'CS', 'wetter']);
		expect(order(partners)).toEqual(['WG', 'CS', 'SC', 'EC', 'SL', 'wetter']);
	});

	test('bags and dry products are made up with plain water first, and it says who says so', () => {
		const found = mixOrder({ products: of('WP-SB', 'WG'), carrier: 'liquid fertiliser' });
		expect(found.ok && found.value.map(({ why, source }) => [why, source])).toEqual([
			[
				'Never into fertiliser: its salts stop the film. Dissolve the bag in plain water first, then add that.',
				'Manitoba on bags and fertiliser; South Dakota State soaks them in a little water',
			],
			[
				'As a slurry with plain water, two to one; dry into fertiliser they clot.',
				'South Dakota State, Oklahoma State, both also for other carriers than water',
			],
		]);
	});

	test('a label instruction still wins', () => {
		const partners = [{ name: 'EC', formulation: 'EC', before: ['WG'] }, ...of('WG')];
		expect(order(partners, 'liquid fertiliser')).toEqual(['EC', 'WG']);
	});
});
