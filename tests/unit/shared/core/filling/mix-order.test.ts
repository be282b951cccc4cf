import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type MixProduct, mixOrder } from '../../../../../shared/core/filling/mix-order.ts';
import { mixKinds } from '../../../../../shared/core/filling/mix-ranking.ts';
import { formulations } from '../../../../../shared/core/products/formulation.ts';

function namesInOrder(products: readonly MixProduct[], coding: 'international' | 'north american' = 'international') {
	const result = mixOrder({ products, coding });
	return result.ok ? result.value.map(({ name }) => name) : result.problem;
}

/** One product of each formulation named, called after it. */
function of(...codes: string[]): MixProduct[] {
	return codes.map((formulation) => ({ name: formulation, formulation }));
}

describe('the general order', () => {
	test('bags, dry products, suspensions, emulsions, concentrates, solutions', () => {
		expect(namesInOrder(of('SL', 'EC', 'EW', 'SC', 'CS', 'WG', 'SG', 'WP-SB'))).toEqual([
			'WP-SB',
			'SG',
			'WG',
			'CS',
			'SC',
			'EW',
			'EC',
			'SL',
		]);
	});

	test('partners are placed by what they do', () => {
		const kinds = mixKinds.map((kind) => ({ name: kind, kind }));
		const dry = { name: 'dry drift retardant', kind: 'drift retardant', formulation: 'WP' } as const;
		expect(namesInOrder([...kinds, dry, ...of('WG', 'CS', 'EC', 'SL')])).toEqual([
			'antifoam',
			'compatibility agent',
			'water conditioner',
			'WG',
			'dry drift retardant',
			'CS',
			'drift retardant',
			'EC',
			'SL',
			'oil adjuvant',
			'surfactant',
			'liquid fertiliser',
			'micronutrient',
		]);
	});

	test('a step says its group, the reason and who publishes it', () => {
		expect(mixOrder({ products: [{ name: 'Folpet', formulation: 'WG' }] })).toEqual({
			ok: true,
			value: [
				{
					name: 'Folpet',
					step: 1,
					group: 'dispersible solids',
					why: 'Granules and powders must be wetted and dispersed before any oil or solvent coats them.',
					source: 'all of the published orders',
					waitAfterS: 300,
				},
			],
		});
	});

	test('the same rank keeps the order of entry', () => {
		const same = ['c', 'a', 'b'].map((name) => ({ name, formulation: 'EC' }));
		expect(namesInOrder(same)).toEqual(['c', 'a', 'b']);
	});

	test('every code for the tank has a place; no other code has one', () => {
		const placed = formulations.filter((f) => f.dropped === undefined && Array.isArray(namesInOrder(of(f.code))));
		expect(placed).toEqual(formulations.filter((f) => f.dropped === undefined && f.tank === 'yes'));
	});
});

describe('letters that mean two things', () => {
	test('are refused with the choices, and with all products concerned', () => {
		expect(mixOrder({ products: [...of('EC', 'SC'), { name: 'other', formulation: 'me' }] })).toEqual({
			ok: false,
			problem: {
				code: 'product.formulationAmbiguous',
				details: {
					product: 'SC',
					formulation: 'SC',
					choices: [
						{ coding: 'international', means: 'SC', name: 'Suspension concentrate' },
						{ coding: 'north american', means: 'SL', name: 'Soluble concentrate' },
					],
					products: ['SC', 'other'],
				},
			},
		});
	});

	test('are placed by the system of the mix or of the product', () => {
		const mix = of('EC', 'SC', 'ME', 'CS');
		expect(namesInOrder(mix, 'international')).toEqual(['CS', 'SC', 'ME', 'EC']);
		expect(namesInOrder(mix, 'north american')).toEqual(['ME', 'CS', 'EC', 'SC']);
		const [ec, sc, me, cs] = mix.map(
			(product, index): MixProduct => (index === 1 ? { ...product, coding: 'international' } : product),
		);
		expect(
			namesInOrder(
				[ec, sc, me, cs].filter((p) => p !== undefined),
				'north american',
			),
		).toEqual(['ME', 'CS', 'SC', 'EC']);
	});

	test('the powder for seed of one system is a dry soluble of the other', () => {
		expect(namesInOrder(of('WG', 'DS'), 'north american')).toEqual(['DS', 'WG']);
		expect(namesInOrder(of('WG', 'DS'))).toMatchObject({ code: 'mixOrder.notForTank' });
	});

	test('need no answer where the bag or the kind already places the product', () => {
		const products: MixProduct[] = [
			{ name: 'wetter', formulation: 'SC', kind: 'surfactant' },
			{ name: 'bag', formulation: 'SC', waterSolubleBag: true },
		];
		const result = mixOrder({ products });
		expect(result.ok && result.value.map(({ name }) => name)).toEqual(['bag', 'wetter']);
	});
});

describe('what does not belong into the tank', () => {
	test('a granule to spread', () => {
		expect(namesInOrder(of('GR'))).toEqual({
			code: 'mixOrder.notForTank',
			details: { product: 'GR', formulation: 'GR', name: 'Granule' },
		});
	});
	test('a seed treatment', () => expect(namesInOrder(of('FS'))).toMatchObject({ code: 'mixOrder.notForTank' }));
	test('letters on no list', () => {
		expect(namesInOrder(of('XL'))).toEqual({
			code: 'product.formulationUnknown',
			details: { product: 'XL', formulation: 'XL' },
		});
	});
	test('no formulation at all', () => {
		expect(namesInOrder([{ name: 'A' }])).toEqual({
			code: 'product.formulationUnknown',
			details: { product: 'A', formulation: '(none)' },
		});
	});
	test('letters that do not say', () => expect(namesInOrder(of('TB'))).toMatchObject({ code: 'mixOrder.notRanked' }));
	test('crystals of a water conditioner do, whatever their code', () => {
		expect(namesInOrder([{ name: 'ammonium sulphate', formulation: 'GR', kind: 'water conditioner' }])).toEqual([
			'ammonium sulphate',
		]);
	});
});

describe('label instructions', () => {
	test('"before" brings the product forward, and no other', () => {
		const mix = of('SG', 'WG', 'CS', 'SC', 'EC').map((p) => (p.name === 'EC' ? { ...p, before: 'WG' } : p));
		expect(namesInOrder(mix)).toEqual(['SG', 'EC', 'WG', 'CS', 'SC']);
	});

	test('"after" holds the product back, and no other', () => {
		const mix = of('SG', 'WG', 'CS', 'SC', 'EC').map((p) => (p.name === 'SG' ? { ...p, after: ['sc'] } : p));
		expect(namesInOrder(mix)).toEqual(['WG', 'CS', 'SC', 'SG', 'EC']);
	});

	test('are marked on the product that carries them and mentioned on its partner', () => {
		const products: MixProduct[] = [...of('WG'), { name: 'EC', formulation: 'EC', before: 'WG' }];
		const result = mixOrder({ products });
		expect(result.ok && result.value.map(({ name, source, why }) => ({ name, source, why }))).toEqual([
			{
				name: 'EC',
				source: 'label',
				why: 'Its label says before WG. The general order has it with emulsifiable concentrates and oil dispersions.',
			},
			{
				name: 'WG',
				source: 'all of the published orders',
				why: 'Granules and powders must be wetted and dispersed before any oil or solvent coats them. The label of EC wants that one in before this.',
			},
		]);
	});

	test('a circle is refused and named', () => {
		const products: MixProduct[] = [
			{ name: 'A', formulation: 'EC', before: 'B' },
			{ name: 'B', formulation: 'WG', before: 'C' },
			{ name: 'C', formulation: 'SL', before: 'A' },
		];
		expect(namesInOrder(products)).toEqual({
			code: 'mixOrder.contradiction',
			details: { instructions: ['A before B', 'B before C', 'C before A'], cycle: ['A', 'B', 'C'] },
		});
	});

	test('two labels that both want to be last', () => {
		const products: MixProduct[] = [
			{ name: 'A', formulation: 'EC', after: 'B' },
			{ name: 'B', formulation: 'SL', after: 'A' },
		];
		expect(namesInOrder(products)).toMatchObject({ details: { instructions: ['B after A', 'A after B'] } });
	});

	test('a product cannot go in before itself', () => {
		expect(namesInOrder([{ name: 'A', formulation: 'EC', before: 'A' }])).toMatchObject({
			code: 'mixOrder.contradiction',
			details: { instructions: ['A before A'] },
		});
	});

	test('a partner that is not in the mix is refused', () => {
		expect(namesInOrder([{ name: 'A', formulation: 'EC', after: 'oil' }])).toEqual({
			code: 'mixOrder.unknownPartner',
			details: { product: 'A', relation: 'after', partner: 'oil' },
		});
	});
});

describe('any mix', () => {
	const tankCodes = formulations.filter((f) => f.tank === 'yes').map(({ code }) => code);
	const codes = fc.array(fc.constantFrom(...tankCodes), { minLength: 1, maxLength: 12 });
	/** Instructions that point from an earlier to a later entry of a hidden order, so that they never run in a circle. */
	const pairs = fc.array(fc.tuple(fc.nat(11), fc.nat(11), fc.boolean()), { maxLength: 8 });

	function withInstructions(list: string[], links: [number, number, boolean][]): MixProduct[] {
		const products = list.map((formulation, index) => ({
			name: `P${index}`,
			formulation,
			after: [] as string[],
			before: [] as string[],
		}));
		for (const [a, b, saysBefore] of links) {
			const first = products[Math.min(a, b)];
			const second = products[Math.max(a, b)];
			if (first === undefined || second === undefined || first === second) continue;
			if (saysBefore) first.before.push(second.name);
			else second.after.push(first.name);
		}
		return products;
	}

	test('comes out as a permutation of the input, honours every instruction, and the same way twice', () => {
		fc.assert(
			fc.property(codes, pairs, (list, links) => {
				const products = withInstructions(list, links);
				const order = namesInOrder(products);
				if (!Array.isArray(order)) throw new Error(JSON.stringify(order));
				expect(order.toSorted()).toEqual(products.map(({ name }) => name).toSorted());
				for (const product of products) {
					for (const partner of [product.after ?? []].flat())
						expect(order.indexOf(partner)).toBeLessThan(order.indexOf(product.name));
					for (const partner of [product.before ?? []].flat())
						expect(order.indexOf(partner)).toBeGreaterThan(order.indexOf(product.name));
				}
				expect(namesInOrder(products)).toEqual(order);
			}),
			{ seed: 40 },
		);
	});

	test('without instructions the groups never run backwards, in whatever order the products are entered', () => {
		fc.assert(
			fc.property(fc.shuffledSubarray(tankCodes, { minLength: 1 }), (list) => {
				const ordered = mixOrder({ products: of(...list), coding: 'international' });
				const sorted = mixOrder({ products: of(...list.toSorted()), coding: 'international' });
				expect(ordered.ok && ordered.value.map(({ group }) => group)).toEqual(
					sorted.ok && sorted.value.map(({ group }) => group),
				);
			}),
			{ seed: 41 },
		);
	});
});
