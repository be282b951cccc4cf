import fc from 'fast-check';
import { expect, test } from 'vitest';
import { slurryLitres, slurryOfBatches } from '../../../../../shared/core/loads/slurry.ts';

const product = { packSizes: [], openedPack: 0 };
const dressing = { ...product, name: 'Dressing', formulation: 'FS', unit: 'L' as const, dose: 0.2 };
const powder = { ...product, name: 'Powder', formulation: 'WS', unit: 'kg' as const, dose: 0.1 };

function made(litres: number, quantities: readonly number[], products = [dressing, powder]) {
	const batches = quantities.map((quantity) => ({
		quantity,
		products: products.map(({ dose }) => ({ amount: dose * quantity })),
	}));
	return slurryOfBatches(litres, { batches, products, seedUnit: 'kg', measureStep: 0.01 });
}

test('water is the slurry volume less what the products take up, batch by batch', () => {
	// 15 × 100 kg at 0.8 L: 12 L; less 3 L of the liquid and 1.5 kg × 0.7 L/kg.
	expect(made(0.8, [15, 10])).toEqual({
		ok: true,
		value: {
			batches: [
				{ slurryL: 12, waterL: 7.95 },
				{ slurryL: 8, waterL: 5.3 },
			],
			warnings: [
				{
					code: 'product.displacementAssumed',
					message: 'Powder: no relative density is known, so 0.7 L/kg is assumed for the room it takes up.',
					record: 'Powder',
				},
			],
		},
	});
});

test('products that take up more than the slurry volume are refused; just as much leaves no water', () => {
	const full = made(0.27, [10]);
	expect(full.ok && full.value.batches).toEqual([{ slurryL: 2.7, waterL: 0 }]);
	const over = made(0.26, [10]);
	expect(over.ok ? null : over.problem).toMatchObject({
		code: 'seed.slurryTooSmall',
		details: { path: 'seed.slurry', per: '100 kg of seed', slurryL: 0.26 },
	});
});

test('a liquid by mass needs its density, and millilitres taken for litres are told', () => {
	const byMass = { ...dressing, name: 'Heavy', unit: 'kg' as const };
	const bare = made(0.8, [10], [byMass]);
	expect(bare.ok ? null : bare.problem.code).toBe('product.densityMissing');
	const wet = made(800, [1], [dressing]);
	expect(wet.ok && wet.value.warnings.map(({ code }) => code)).toEqual(['seed.slurryUnusual']);
});

test('slurry volumes are said to 100 kg, to a tonne or to a unit', () => {
	expect([
		slurryLitres({ value: 800, unit: 'mL/100 kg' }, 'kg'),
		slurryLitres({ value: 8, unit: 'L/t' }, 'kg'),
		slurryLitres({ value: 90, unit: 'mL/unit' }, 'unit'),
		slurryLitres({ value: 90, unit: 'mL/unit' }, 'kg'),
	]).toEqual([0.8, 0.8, 0.09, null]);
});

test('water and products make up the slurry of every batch to half a measuring step', () => {
	fc.assert(
		fc.property(
			fc.double({ min: 0.3, max: 3, noNaN: true }),
			fc.array(fc.double({ min: 0.01, max: 500, noNaN: true }), { minLength: 1, maxLength: 8 }),
			(litres, quantities) => {
				const plan = made(litres, quantities);
				return (
					plan.ok &&
					plan.value.batches.every(({ slurryL, waterL }, index) => {
						const productL = (quantities[index] ?? 0) * (0.2 + 0.1 * 0.7);
						return Math.abs(slurryL - waterL - productL) <= 0.005 + 1e-6;
					})
				);
			},
		),
		{ seed: 20_261_129, numRuns: 300 },
	);
});
