import { describe, expect, test } from 'vitest';
import { displacementOf } from '../../../../../shared/core/loads/displacement.ts';
import { product } from './job.ts';

const solid = { formulation: 'WG', unit: 'kg' } as const;

describe('litres of tank that one unit of a product takes up', () => {
	test.each([
		['a liquid by the litre', product(), 1],
		['a liquid by the kilogram: the code decides, not the unit', product({ unit: 'kg', relativeDensity: 1.25 }), 0.8],
		['a solid of known density', product({ ...solid, relativeDensity: 1.6 }), 0.625],
		[
			'a solid of known displacement, which may dissolve',
			product({ ...solid, relativeDensity: 1.77, displacementLPerKg: 0.44 }),
			0.44,
		],
		['letters that mean two liquids', product({ formulation: 'ME' }), 1],
		['a solid in water-soluble bags', product({ ...solid, formulation: 'WP-SB', relativeDensity: 1.6 }), 0.625],
	] as const)('%s', (_, given, litresPerUnit) => {
		expect(displacementOf(given, 'products.0')).toEqual({ ok: true, value: { litresPerUnit, warnings: [] } });
	});

	test('a solid of which nothing is known: assumed, and said so', () => {
		expect(displacementOf(product(solid), 'products.0')).toEqual({
			ok: true,
			value: {
				litresPerUnit: 0.7,
				warnings: [
					{
						code: 'product.displacementAssumed',
						message: 'A: no relative density is known, so 0.7 L/kg is assumed for the room it takes up.',
						record: 'A',
					},
				],
			},
		});
	});

	test('a product that is not for the tank is planned, and said so', () => {
		expect(displacementOf(product({ formulation: 'SO' }), 'products.0')).toEqual({
			ok: true,
			value: {
				litresPerUnit: 1,
				warnings: [
					{
						code: 'product.notForTank',
						message: 'A: SO (Spreading oil) does not go into a spray tank with water. Check the code on the label.',
						record: 'A',
					},
				],
			},
		});
	});

	test.each([
		[
			'a liquid by the kilogram without its density',
			product({ unit: 'kg', displacementLPerKg: 0.9 }),
			'product.densityMissing',
			{ path: 'products.0.relativeDensity', product: 'A', formulation: 'SC' },
		],
		[
			'a solid by the litre',
			product({ formulation: 'WG' }),
			'product.solidByVolume',
			{ path: 'products.0.unit', product: 'A', formulation: 'WG' },
		],
		[
			'letters on no list',
			product({ formulation: 'QQ' }),
			'product.formulationUnknown',
			{ path: 'products.0.formulation', product: 'A', formulation: 'QQ' },
		],
	] as const)('refuses %s', (_, given, code, details) => {
		expect(displacementOf(given, 'products.0')).toEqual({ ok: false, problem: { code, details } });
	});
});
