import { expect, test } from 'vitest';
import { paperProgram } from '../../../../electron/paper/render.ts';
import { marksHead, marksOf } from '../../../../renderer/paper/card-marks.ts';
import {
	groundWord,
	noteLines,
	paceWords,
	poursOf,
	pourWords,
	underName,
} from '../../../../renderer/paper/card-words.ts';
import { usAmount, usSettings, withDryOunces } from '../../../../renderer/paper/us-words.ts';
import { unitsIn } from '../../../../renderer/units.ts';
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

const us = withDryOunces(unitsIn['US customary']);

/** 1500 L are 396.26 gal, 4000 L 1056.69; 26.67 ha are 65.90 ac; 5 L are 1.32 gal, 10 kg 22.05 lb, 1.25 kg 2.76 lb. */
test('the card of a farm with US customary units is read in them alone, doses entered in metric with it', () => {
	expect(marksHead(metric, us)).toBe('Metered water in gallons, from zero');
	const marks = marksOf(metric, us);
	expect(marks.map(({ reading }) => reading)).toEqual(['396.3', '526.5', '1047']);
	expect(marks.at(-1)?.level).toBe('The tank then holds 1,057 gal.');
	const lines = metric.order.map((line) => [underName(line, us), ...poursOf(line, us).map(pourWords)]);
	expect(lines).toEqual([
		['SG · 3.57 dry oz/ac', '1 × 22 lb', 'measure 2.76 lb'],
		['WG · 1.12 lb/ac', '2 × 22 lb'],
		['SC · 17.1 fl oz/ac', '3 × 1.32 gal', 'measure 42.3 fl oz'],
	]);
	expect(metric.plan.ground.map((part) => groundWord(part, metric, us))).toEqual([
		'32.96 ac, finishes it',
		'32.96 ac, load ends 45.32 ac into it',
	]);
	expect(paceWords(metric.pace, us)).toMatch(/^Worked out with 68\.7 gal\/min /);
	expect(noteLines(metric, us).look[0]).toBe('Birch: harvest no sooner than 35 days after, wind ≤ 7.46 mph.');
	expect(usSettings(card, us)).toBe('');
});

test('what is weighed in ounces is not taken for what is measured in fluid ounces', () => {
	const [solid, , liquid] = metric.order;
	const pours = [solid, liquid].flatMap((line) => {
		if (!line) return [];
		const little = { ...line, fullPacks: [], fromOpened: 0, measured: 0.25, amount: 0.25 };
		return [us.amount(little.amount, little.unit), ...poursOf(little, us).map(pourWords)];
	});
	expect(pours).toEqual(['8.82 dry oz', 'measure 8.82 dry oz', '8.45 fl oz', 'measure 8.45 fl oz']);
});

/** A figure with a metric unit behind it; the strength in a product's name is none. */
const METRIC = /\d\s?(?:<small[^>]*>\s*)?(?:L|mL|kg|g|ha|m|km\/h|bar)(?![\p{L}\d])/u;

test.each(['A4', 'A5'] as const)('%s: no figure on it is metric, whatever its doses were entered in', async (paper) => {
	const { loadCardsHtml } = await paperProgram();
	const body = (units: 'metric' | 'US customary') =>
		loadCardsHtml([metric, card, carried, granules], { paper, units }).replace(/<style>[\s\S]*?<\/style>/, '');
	expect(METRIC.exec(body('US customary'))).toBe(null);
	expect(body('US customary')).toMatch(/metered water, gal[\s\S]*mix left, gal[\s\S]*left in the hopper, lb/);
	expect(METRIC.test(body('metric'))).toBe(true);
});

const carried = { ...metric, plan: { ...metric.plan, carriedInL: 120 } };
const granules = { ...metric, kind: 'granules' as const, plan: { ...metric.plan, hopperKg: 800, inHopperKg: 123.4 } };
