import { expect, test } from 'vitest';
import { marksOf } from '../../../../renderer/paper/card-marks.ts';
import { poursOf, pourWords } from '../../../../renderer/paper/card-words.ts';
import { usAmount, usSettings } from '../../../../renderer/paper/us-words.ts';
import { sampleCard } from './sample-card.ts';

const metric = sampleCard({ products: 3, pause: true });
const card = {
	...metric,
	speedKmh: 16.09344,
	pressureBar: 2.758,
	sprayVolumeLPerHa: 140.3093,
	plan: { ...metric.plan, areaHa: 32.37485 },
	order: metric.order.map((line) => ({
		...line,
		dose: { value: 16, unit: line.unit === 'kg' ? ('lb/acre' as const) : ('fl oz/acre' as const) },
	})),
};

/** 1 US gallon is 3.785411784 L, 1 fluid ounce a 128th of it; 1 pound 0.45359237 kg. */
test('a card with doses of a US label says its figures in gallons, acres and ounces too', () => {
	expect(usSettings(card)).toBe('80.0 ac · 1,057 gal · 15.0 gal/ac · 10.0 mph · 40 psi');
	expect(usSettings(metric)).toBe('');
	const [first, , last] = marksOf(card);
	expect([first?.reading, first?.level]).toEqual(['1500', '396 gal']);
	expect(last?.level).toMatch(/^\d,?\d* gal\. The tank then holds 4,000 L\.$/);
	expect(marksOf(metric)[0]?.level).toBe(null);
	const birch = card.order[2] ?? expect.fail('a product');
	expect(poursOf(birch).map(pourWords)).toEqual(['3 × 5 L (1.32 gal)', 'measure 1.25 L (0.33 gal)']);
});

test('small amounts are in ounces', () => {
	expect([usAmount(0.3548824, 'L'), usAmount(9.463529, 'L'), usAmount(0.2268, 'kg'), usAmount(0.6804, 'kg')]).toEqual([
		'12 fl oz',
		'2.5 gal',
		'8 oz',
		'1.5 lb',
	]);
});
