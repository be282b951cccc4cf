import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LimitFinding } from '../../../../../shared/contract/limits.ts';
import { LabelLimit } from '../../../../../shared/contract/products.ts';
import { checkLimits } from '../../../../../shared/core/limits/check-limits.ts';
import {
	type Finding,
	type Limit,
	labelKinds,
	overlapByArea,
	type PlannedApplication,
	type PlannedProduct,
	type Treatment,
} from '../../../../../shared/core/limits/limit.ts';
import { addYears, windowAround } from '../../../../../shared/core/limits/period.ts';

const product: PlannedProduct = {
	productId: 'p1',
	name: 'Folpet 500',
	unit: 'L',
	dosePerHa: 1,
	actives: [{ substance: 'folpet', gPerHa: 500, group: 'M04' }],
	limits: [],
};

const base: PlannedApplication = {
	ground: {
		fieldId: 'f1',
		crop: ['TRZAW', 'winter wheat'],
		cropFrom: '2025-10-01',
		cropTo: null,
		season: { from: '2025-08-01', to: '2026-07-31' },
		growthStage: 32,
		harvestOn: '2026-07-25',
		bufferM: 6,
	},
	date: '2026-05-01',
	sprayVolumeLPerHa: 150,
	products: [product],
	history: [],
	rules: [],
};

type Given = {
	ground?: Partial<PlannedApplication['ground']>;
	history?: Treatment[];
	other?: PlannedProduct[];
} & Partial<Pick<PlannedApplication, 'date' | 'sprayVolumeLPerHa' | 'begun'>>;

/** What the one limit given comes to. */
function check(limit: Partial<Limit> & Pick<Limit, 'kind'>, given: Given = {}): Finding {
	const { ground, history = [], other = [], ...rest } = given;
	const limits = [{ source: 'label', fromMemory: false, ...limit }];
	const application = {
		...base,
		...rest,
		history,
		ground: { ...base.ground, ...ground },
		products: [{ ...product, limits }, ...other],
	};
	const found = checkLimits(application).find(({ kind, productId }) => kind === limit.kind && productId === 'p1');
	if (found === undefined) throw new Error('no finding');
	return LimitFinding.parse(found) as Finding;
}

function verdict(...args: Parameters<typeof check>) {
	return check(...args).verdict;
}

function earlier(date: string, change: Partial<Treatment> = {}): Treatment {
	const { limits: _, ...applied } = product;
	return {
		...applied,
		recordId: `r ${date}`,
		application: `a ${date}`,
		date,
		overlap: 'yes',
		planned: false,
		...change,
	};
}

describe('a limit nobody filled in', () => {
	test('is unknown, for every kind', () => {
		const findings = checkLimits(base);
		expect(findings.map(({ kind, verdict: found }) => [kind, found])).toEqual(
			labelKinds.map((kind) => [kind, 'unknown']),
		);
		expect(findings[1]).toEqual({
			fieldId: 'f1',
			productId: 'p1',
			kind: 'singleDose',
			verdict: 'unknown',
			limit: null,
			value: null,
			unit: null,
			records: [],
			source: 'not on the books',
			say: 'No limit of this kind is on the books for Folpet 500 in Winter wheat (TRZAW). Check the label.',
		});
	});
	test('is unknown where only another crop has one', () => {
		expect(verdict({ kind: 'singleDose', max: 2, crop: 'HORVW' })).toBe('unknown');
		expect(verdict({ kind: 'singleDose', max: 2, crop: 'Winter wheat' })).toBe('ok');
	});
	test('and one without its figure is unknown too, for every kind that needs one', () => {
		expect(labelKinds.filter((kind) => verdict({ kind }) !== 'unknown')).toEqual(['flowering']);
	});
});

test('a label limit of the contract is a limit of the check', () => {
	const entered: Limit[] = LabelLimit.array().parse([{ kind: 'singleDose', max: 0.5 }]);
	expect(checkLimits({ ...base, products: [{ ...product, limits: entered }] })[1]).toEqual({
		fieldId: 'f1',
		productId: 'p1',
		kind: 'singleDose',
		verdict: 'block',
		limit: 0.5,
		value: 1,
		unit: 'L/ha',
		records: [],
		source: 'label',
		say: 'The dose is 1 L/ha; the label allows 0.5 L/ha.',
	});
});

test('a limit from memory warns where another would block, and says so', () => {
	expect(check({ kind: 'singleDose', max: 0.5, fromMemory: true })).toMatchObject({
		verdict: 'warn',
		say: 'The dose is 1 L/ha; the label allows 0.5 L/ha. This limit was entered from memory: check the label.',
	});
});

describe('what is sprayed', () => {
	test('crop', () => {
		expect([
			verdict({ kind: 'crop', crops: ['HORVW', 'trzaw'] }),
			verdict({ kind: 'crop', crop: 'winter wheat' }),
			verdict({ kind: 'crop', crops: ['HORVW'] }),
			verdict({ kind: 'crop', crops: ['HORVW'] }, { ground: { crop: [] } }),
		]).toEqual(['ok', 'ok', 'block', 'ask']);
	});
	test('a crop without its code is asked about where the label gives codes, and stopped where it gives names', () => {
		const ground = { ground: { crop: ['Vårhavre'] } };
		expect(verdict({ kind: 'crop', crops: ['TRZAW', 'AVESA'] }, ground)).toBe('ask');
		expect(verdict({ kind: 'crop', crops: ['TRZAW', 'vårhavre'] }, ground)).toBe('ok');
		expect(verdict({ kind: 'crop', crops: ['Vinterhvede', 'Maize'] }, ground)).toBe('block');
		expect(verdict({ kind: 'crop', crops: ['TRZAW'] }, { ground: { crop: ['AVESA', 'Vårhavre'] } })).toBe('block');
	});

	test('several crop lines of one label are one list', () => {
		const limits = ['HORVW', 'TRZAW'].map(
			(crop): Limit => ({ kind: 'crop', crop, source: 'label', fromMemory: false }),
		);
		const findings = checkLimits({ ...base, products: [{ ...product, limits }] }).filter(({ kind }) => kind === 'crop');
		expect(findings).toMatchObject([{ verdict: 'ok', limit: 'HORVW, TRZAW', value: 'TRZAW' }]);
		const onOats = { ...base, ground: { ...base.ground, crop: ['AVESA', 'Oats'] } };
		const [other] = checkLimits({ ...onOats, products: [{ ...product, limits }] }).filter(
			({ kind }) => kind === 'crop',
		);
		expect(other?.say).toMatch(
			/^Oats.* is not on the label, which allows Winter barley \(HORVW\), Winter wheat \(TRZAW\)\.$/,
		);
	});
	test('single dose: on the limit is on the safe side of it, and the same product twice is added up', () => {
		expect([
			verdict({ kind: 'singleDose', max: 1 }),
			verdict({ kind: 'singleDose', max: 0.999 }),
			verdict({ kind: 'singleDose', min: 1.2 }),
			verdict({ kind: 'singleDose', max: 1 }, { other: [product] }),
		]).toEqual(['ok', 'block', 'warn', 'block']);
	});
	test('spray volume', () => {
		const limit = { kind: 'sprayVolume', min: 100, max: 200 } as const;
		const at = [100, 200, 99, 201, null].map((sprayVolumeLPerHa) => verdict(limit, { sprayVolumeLPerHa }));
		expect(at).toEqual(['ok', 'ok', 'block', 'block', 'ask']);
	});
	test('buffer', () => {
		const at = [6, 5, 4.9, null].map((bufferM) => verdict({ kind: 'buffer', min: 5 }, { ground: { bufferM } }));
		expect([...at, verdict({ kind: 'buffer', max: 0 })]).toEqual(['ok', 'ok', 'block', 'ask', 'ok']);
	});
	test('mix partner by name, substance or group, in the mix or too soon after it', () => {
		const partner = {
			...product,
			productId: 'p2',
			name: 'Other',
			actives: [{ substance: 'copper', gPerHa: 300, group: 'M01' }],
		};
		const before = earlier('2026-04-25', partner);
		expect([
			...['other', 'Copper', 'm01', 'folpet'].map((name) =>
				verdict({ kind: 'mixPartner', partner: name }, { other: [partner] }),
			),
			verdict({ kind: 'mixPartner', partner: 'copper' }, { history: [before] }),
			verdict({ kind: 'mixPartner', partner: 'copper', min: 6 }, { history: [before] }),
			verdict({ kind: 'mixPartner', partner: 'copper', min: 7 }, { history: [before] }),
		]).toEqual(['block', 'block', 'block', 'ok', 'ok', 'ok', 'block']);
	});
});

describe('when it is sprayed', () => {
	test('time of day, over midnight too; asked for while it is not known', () => {
		const day = [8, 18.5, 7.99, 18.51].map((hour) =>
			verdict({ kind: 'timeOfDay', min: 8, max: 18.5 }, { begun: [{ hour }] }),
		);
		const night = [20.5, 23.9, 0, 6, 20.4, 6.1].map((hour) =>
			verdict({ kind: 'timeOfDay', min: 20.5, max: 6 }, { begun: [{ hour }] }),
		);
		expect([...day, ...night, verdict({ kind: 'timeOfDay', min: 20 })]).toEqual([
			...['ok', 'ok', 'block', 'block'],
			...['ok', 'ok', 'ok', 'ok', 'block', 'block'],
			'ask',
		]);
		expect(check({ kind: 'timeOfDay', min: 20.5, max: 6 }, { begun: [{ hour: 21 }, { hour: 12.25 }] })).toMatchObject({
			limit: '20:30–06:00',
			value: '12:15',
		});
	});
	test('livestock is kept off by people: shown, never judged', () => {
		expect(check({ kind: 'livestock', min: 14 })).toMatchObject({
			verdict: 'warn',
			say: 'Keep livestock off for 14 days, until 15 May 2026.',
		});
		expect(verdict({ kind: 'livestock', min: 0 })).toBe('ok');
	});
	test('growth stage, within one scale only', () => {
		const at = [13, 39, 12, 40, '32', 'GS32', 'BBCH 40', null, '', 'late', 132].map((growthStage) =>
			verdict({ kind: 'stage', min: 13, max: 39 }, { ground: { growthStage } }),
		);
		expect(at).toEqual(['ok', 'ok', 'block', 'block', 'ok', 'ok', 'block', 'ask', 'ask', 'ask', 'ask']);
	});
	test('a window of the year, which may run over New Year', () => {
		const limit = { kind: 'stage', from: '2020-10-01', to: '2021-02-28' } as const;
		const at = ['2026-10-01', '2027-02-28', '2027-03-01', '2026-09-30'].map((date) => verdict(limit, { date }));
		expect(at).toEqual(['ok', 'ok', 'block', 'block']);
	});
	test('harvest interval: the day of the application is day 0', () => {
		expect([
			verdict({ kind: 'harvestInterval', min: 85 }),
			verdict({ kind: 'harvestInterval', max: 86 }),
			verdict({ kind: 'harvestInterval', min: 35 }, { ground: { harvestOn: null } }),
		]).toEqual(['ok', 'block', 'ask']);
		expect(check({ kind: 'harvestInterval', min: 35 }, { ground: { harvestOn: null } }).say).toContain('5 June 2026');
	});
	test('interval looks both ways, at every product with the substance where the limit names one', () => {
		const other = { productId: 'p2', actives: [{ substance: 'Folpet', gPerHa: 1, group: null }] };
		expect([
			verdict({ kind: 'interval', min: 14 }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-04-17')] }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-04-18')] }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-05-10', { planned: true })] }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-04-20', other)] }),
			verdict({ kind: 'interval', min: 14, substance: 'folpet' }, { history: [earlier('2026-04-20', other)] }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-04-20', { overlap: 'unknown' })] }),
			verdict({ kind: 'interval', min: 14 }, { history: [earlier('2026-04-20', { overlap: 'no' })] }),
		]).toEqual(['ok', 'ok', 'block', 'block', 'ok', 'block', 'ask', 'ok']);
	});
	test('authorisation dates, both days included', () => {
		const limit = { kind: 'authorisation', from: '2026-05-01', to: '2026-06-30' } as const;
		const at = ['2026-05-01', '2026-06-30', '2026-04-30', '2026-07-01'].map((date) => verdict(limit, { date }));
		expect([...at, verdict({ kind: 'authorisation', to: '2026-04-30' })]).toEqual([
			'ok',
			'ok',
			'block',
			'block',
			'block',
		]);
	});
	test('re-entry is for the people there to keep', () => {
		expect(check({ kind: 'reentry', min: 12 })).toMatchObject({ verdict: 'warn', limit: 12, unit: 'h' });
		expect(verdict({ kind: 'reentry', min: 0 })).toBe('ok');
	});
});

describe('sums over a period', () => {
	const two = [earlier('2025-11-01'), earlier('2026-04-01')];

	test('total dose, with the records it rests on', () => {
		expect(check({ kind: 'totalDose', max: 3, per: 'crop' }, { history: two })).toEqual({
			fieldId: 'f1',
			productId: 'p1',
			kind: 'totalDose',
			verdict: 'ok',
			limit: 3,
			value: 3,
			unit: 'L/ha',
			records: ['r 2025-11-01', 'r 2026-04-01'],
			source: 'label',
			say: 'The total dose per crop comes to 3 of 3 L/ha with this application: 0 left.',
		});
		expect(verdict({ kind: 'totalDose', max: 2.9, per: 'crop' }, { history: two })).toBe('block');
	});

	test('tenths add up to their sum', () => {
		const tenths = [1, 2, 3, 4, 5, 6, 7, 8, 9].map((day) => earlier(`2026-03-0${day}`, { dosePerHa: 0.1 }));
		expect(verdict({ kind: 'totalDose', max: 1.9, per: 'season' }, { history: tenths })).toBe('ok');
	});

	test('the period decides what counts', () => {
		const history = [
			'2025-04-30',
			'2025-05-01',
			'2025-05-02',
			'2025-09-15',
			'2025-10-01',
			'2026-01-01',
			'2026-09-01',
		].map((date) => earlier(date));
		const count = (limit: Partial<Limit>) => check({ kind: 'treatments', max: 99, ...limit }, { history }).value;
		expect({
			crop: count({ per: 'crop' }),
			noPeriod: count({}),
			season: count({ per: 'season' }),
			calendarYear: count({ per: 'calendar year' }),
			twelveMonths: count({ per: '12 months' }),
			twoYears: count({ per: 'years', years: 2 }),
			fixedTwoYears: count({ per: 'years', years: 2, from: '2024-01-01' }),
			window: count({ from: '2020-09-10', to: '2020-12-31' }),
		}).toEqual({
			crop: 3,
			noPeriod: 3,
			season: 4,
			calendarYear: 3,
			twelveMonths: 5,
			twoYears: 8,
			fixedTwoYears: 3,
			window: null,
		});
	});

	test('the records of one job’s loads are one application, with its highest dose', () => {
		const loads = [1, 2].map((load) =>
			earlier('2026-04-01', { recordId: `load ${load}`, application: 'job 1', dosePerHa: load / 2 }),
		);
		expect([
			check({ kind: 'treatments', max: 2 }, { history: loads }).value,
			check({ kind: 'totalDose', max: 2 }, { history: loads }).value,
			check({ kind: 'treatments', max: 2 }, { history: loads }).records,
		]).toEqual([2, 2, ['load 1', 'load 2']]);
	});

	test('a split dose counts each time', () => {
		const halves = [earlier('2026-04-01', { dosePerHa: 0.5 }), earlier('2026-04-10', { dosePerHa: 0.5 })];
		expect(check({ kind: 'treatments', max: 2 }, { history: halves })).toMatchObject({ verdict: 'block', value: 3 });
	});

	test('ground that may be other ground is asked about; ground that is does not count', () => {
		const at = (['yes', 'unknown', 'no'] as const).map((overlap) =>
			check({ kind: 'totalDose', max: 1.5 }, { history: [earlier('2026-04-01', { overlap })] }),
		);
		expect(at.map(({ verdict: found, value }) => [found, value])).toEqual([
			['block', 2],
			['ask', 2],
			['ok', 1],
		]);
	});

	test('planned jobs count, and are named as planned', () => {
		const planned = check({ kind: 'treatments', max: 1 }, { history: [earlier('2026-06-01', { planned: true })] });
		expect(planned).toMatchObject({ verdict: 'block', value: 2 });
		expect(planned.say).toContain('1 are planned, not sprayed');
	});

	test('an active substance over all products; unknown where a content is', () => {
		const other = (gPerHa: number | null) =>
			earlier('2026-04-01', { productId: 'p2', actives: [{ substance: 'FOLPET', gPerHa, group: null }] });
		const limit = { kind: 'activeSubstance', max: 900 } as const;
		expect([
			verdict(limit, { history: [other(400)] }),
			verdict(limit, { history: [other(401)] }),
			verdict(limit, { history: [other(null)] }),
			verdict(limit, { history: [other(null), { ...other(401), application: 'b' }] }),
		]).toEqual(['ok', 'block', 'unknown', 'block']);
	});

	test('two products of a group in one mix are one treatment with it', () => {
		const partner = { ...product, productId: 'p2' };
		const both = ['p1', 'p2'].map((productId) => earlier('2026-04-01', { productId, recordId: productId }));
		expect(check({ kind: 'modeOfAction', max: 2 }, { other: [partner], history: both }).value).toBe(2);
	});
});

describe('rules beside the label', () => {
	const rule: Limit = {
		kind: 'activeSubstance',
		substance: 'folpet',
		max: 400,
		per: 'season',
		source: 'national rule',
		fromMemory: false,
	};
	test('are checked for the mix, not for a product', () => {
		const findings = checkLimits({ ...base, rules: [rule] }).filter(({ source }) => source === 'national rule');
		expect(findings).toMatchObject([{ verdict: 'block', value: 500 }]);
		expect(findings[0]).not.toHaveProperty('productId');
	});
	test('about a substance that is not in the mix say nothing', () => {
		const rules = [{ ...rule, substance: 'copper' }];
		expect(checkLimits({ ...base, rules }).filter(({ source }) => source === 'national rule')).toEqual([]);
	});
});

describe('ground and calendar', () => {
	test('areas that cannot lie side by side overlap', () => {
		expect([
			overlapByArea({ fieldHa: 10, firstHa: 6, secondHa: 4 }),
			overlapByArea({ fieldHa: 10, firstHa: 6, secondHa: 4.1 }),
		]).toEqual(['unknown', 'yes']);
	});
	test('years from a leap day', () => {
		expect([
			addYears('2024-02-29', 1),
			addYears('2024-02-29', 4),
			addYears('2024-02-28', 1),
			addYears('2100-03-01', -4),
		]).toEqual(['2025-03-01', '2028-02-29', '2025-02-28', '2096-03-01']);
	});
	test('windows', () => {
		expect([
			windowAround('2026-01-15', '2000-11-01', '2000-02-01'),
			windowAround('2026-03-15', '2000-11-01', '2000-02-01'),
		]).toEqual([{ from: '2025-11-01', to: '2026-02-01' }, null]);
	});
});

describe('any history', () => {
	const days = fc
		.integer({ min: 0, max: 1500 })
		.map((day) => new Date(Date.UTC(2024, 0, 1 + day)).toISOString().slice(0, 10));
	const treatment = fc
		.record({
			date: days,
			dosePerHa: fc.double({ min: 0.1, max: 2, noNaN: true }),
			overlap: fc.constantFrom('yes' as const, 'unknown' as const, 'no' as const),
			id: fc.uuid(),
		})
		.map(({ date, dosePerHa, overlap, id }) => earlier(date, { dosePerHa, overlap, recordId: id, application: id }));
	const limit = fc.record({
		kind: fc.constantFrom('totalDose' as const, 'treatments' as const, 'interval' as const, 'activeSubstance' as const),
		max: fc.integer({ min: 1, max: 6 }),
		per: fc.constantFrom(
			'crop' as const,
			'season' as const,
			'12 months' as const,
			'calendar year' as const,
			'years' as const,
		),
		years: fc.integer({ min: 1, max: 4 }),
	});

	test('one spray more never removes a breach', () => {
		fc.assert(
			fc.property(fc.array(treatment, { maxLength: 8 }), treatment, limit, (history, extra, label) => {
				const before = verdict(label, { history });
				const after = verdict(label, { history: [...history, extra] });
				const severity = { ok: 0, warn: 1, ask: 1, unknown: 1, block: 2 };
				expect(severity[after]).toBeGreaterThanOrEqual(severity[before]);
			}),
			{ seed: 70, numRuns: 500 },
		);
	});

	test('a rolling period holds the most that any 12 months around the date hold', () => {
		fc.assert(
			fc.property(fc.array(treatment, { maxLength: 8 }), (all) => {
				const history = all.map((one): Treatment => ({ ...one, overlap: 'yes' }));
				const value = check({ kind: 'treatments', max: 99, per: '12 months' }, { history }).value;
				const starts = Array.from({ length: 367 }, (_, back) =>
					new Date(Date.UTC(2026, 4, 1 - back)).toISOString().slice(0, 10),
				);
				const counts = starts
					.filter((start) => addYears(start, 1) > base.date)
					.map((start) => history.filter(({ date }) => start <= date && date < addYears(start, 1)).length + 1);
				expect(value).toBe(Math.max(...counts));
			}),
			{ seed: 71, numRuns: 200 },
		);
	});
});
