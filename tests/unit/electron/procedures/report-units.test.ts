import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { inUnits } from '../../../../electron/procedures/report-units.ts';
import { type Report, type ReportColumn, reportNames } from '../../../../shared/contract/season.ts';
import { readCsv } from '../paper/read-csv.ts';
import { readXlsx } from '../paper/read-xlsx.ts';
import { testBooks } from './test-books.ts';

/** Two seasons of the demonstration farm, the whole of them: every report has lines. */
const SEASONS = { from: '2000-10-01', to: '2100-09-30' };

/** NIST Special Publication 811, Appendix B.8 (digits from memory): how much of the metric unit is one of the US unit. */
const PUBLISHED: Readonly<Record<string, number>> = {
	'ha ac': 0.4046856,
	'L gal': 3.785412,
	'kg lb': 0.4535924,
	'm ft': 0.3048,
	'km/h mph': 1.609344,
	'L/ha gal/ac': 3.785412 / 0.4046856,
	'L/ha fl oz/ac': 0.02957353 / 0.4046856,
	'kg/ha lb/ac': 0.4535924 / 0.4046856,
	'kg/ha oz/ac': 0.02834952 / 0.4046856,
	'g/ha lb/ac': 453.5924 / 0.4046856,
	'kg N/ha lb N/ac': 0.4535924 / 0.4046856,
	'% %': 1,
	'acres acres': 1,
	' ': 1,
};
const METRIC = /\d[ \u00a0](?:mL|L|kg|g|ha|m²|m³|m|km\/h|°C|bar)(?:\/|\b(?![²³]))/;

test('the demonstration farm: metric as ever, each figure by the unit of its column, and files as the screen', async () => {
	const { api } = testBooks({ demo: true });
	await api.upkeep.buildDemo({});
	const read = (report: string, units?: 'metric' | 'of the farm') =>
		api.season.read({ report, ...SEASONS, ...(units && { units }) });
	const metric = new Map<string, Report>();
	for (const name of reportNames) {
		const report = await read(name);
		metric.set(name, report);
		expect({ ...(await read(name, 'of the farm')), madeAt: '' }).toEqual({ ...report, madeAt: '' });
		expect(inUnits(report, 'metric')).toBe(report);
	}
	await api.settings.save({ key: 'us', ruleSet: 'us-7cfr110' });
	for (const [name, before] of metric) {
		const us = await read(name, 'of the farm');
		// A script that names no units reads what it always read.
		expect((await read(name)).columns).toEqual(before.columns);
		isTurnedOver(before, us);
	}

	const shown = await read('area statement', 'of the farm');
	const written = async (format: 'json' | 'csv' | 'xlsx', units?: 'of the farm') =>
		readFileSync((await api.season.report({ report: shown.report, ...SEASONS, format, ...(units && { units }) })).path);
	const [heads] = readCsv((await written('csv')).toString('utf8'));
	expect(heads).toContain('mapped (ac)');
	expect(heads?.join(' ')).not.toMatch(/\bha\b|hectare/);
	const [sheet] = readXlsx(await written('xlsx'));
	const place = shown.columns.findIndex(({ key }) => key === 'mappedAc');
	expect(sheet?.rows[1]?.[place]).toEqual({ type: 'number', value: shown.rows[0]?.['mappedAc'] });
	const columnsIn = (json: Buffer) => (JSON.parse(json.toString('utf8')) as Report).columns;
	expect(columnsIn(await written('json'))).toEqual(metric.get('area statement')?.columns);
	expect(columnsIn(await written('json', 'of the farm'))).toEqual(shown.columns);

	await api.settings.save({ key: 'chosen', displayUnits: 'metric' });
	expect((await read('area statement', 'of the farm')).rows).toEqual(metric.get('area statement')?.rows);
});

function isTurnedOver(metric: Report, us: Report): void {
	const pairs = sideBySide(metric, us);
	expect(us.rows.length, us.report).toBe(metric.rows.length);
	for (const [index, before] of metric.rows.entries()) {
		const now = us.rows[index] ?? {};
		for (const [old, fresh] of pairs) {
			const [was, is] = [before[old.key] ?? null, now[fresh.key] ?? null];
			if (typeof was !== 'number') continue;
			const units = `${unitOf(old, before)} ${unitOf(fresh, now)}`;
			if (units === '°C °F') expect(is).toBeCloseTo((was * 9) / 5 + 32, 9);
			else
				expect(Number(is) * (PUBLISHED[units] ?? Number.NaN), `${us.report} ${fresh.key} ${units}`).toBeCloseTo(was, 2);
		}
		const words = us.columns.filter(({ key, kind }) => kind === 'text' && !TYPED.has(key));
		expect(words.map(({ key }) => now[key]).join('\n')).not.toMatch(METRIC);
	}
	expect(us.columns.filter(({ unit }) => METRIC.test(`1 ${unit}`))).toEqual([]);
	expect(us.notes.filter((note) => METRIC.test(note) || /hectare|kg\/ha/.test(note))).toEqual([]);
}

test('acres that stand there already are not said a second time, and an amount adds up in its column', () => {
	const report: Report = {
		...{
			report: 'US application list',
			title: '',
			farm: '',
			from: '2026-01-01',
			to: '2026-12-31',
			madeAt: '',
			heads: [],
		},
		columns: [
			{ key: 'acres', name: 'area', kind: 'number', digits: 2, unit: 'acres' },
			{ key: 'areaHa', name: 'area', kind: 'number', digits: 2, unit: 'ha', under: 'acres', bare: true },
			{ key: 'product', name: 'product', kind: 'text' },
			{ key: 'amount', name: 'amount', kind: 'number', digits: 3, unitFrom: 'unit' },
			{ key: 'dosePerHa', name: 'dose per ha', kind: 'number', digits: 3, unitFrom: 'unit' },
			{ key: 'unit', name: 'unit', kind: 'text' },
			{ key: 'reason', name: 'reason', kind: 'text' },
		],
		rows: [
			{
				acres: 10,
				areaHa: 4.046856,
				product: 'Flow',
				amount: 37.85412,
				dosePerHa: 9,
				unit: 'L',
				reason: 'in 5 L of oil',
			},
			{ acres: 1, areaHa: 0.4046856, product: 'Flow', amount: 0.05, dosePerHa: 10, unit: 'L', reason: null },
			{ acres: 1, areaHa: 0.4046856, product: 'Grain', amount: 0.05, dosePerHa: 0.12, unit: 'kg', reason: null },
		],
		totals: null,
		notes: [],
	};
	const { columns, rows } = inUnits(report, 'US customary');
	expect(columns.map(({ key, name, unit, unitFrom }) => [key, name, unit ?? unitFrom])).toEqual([
		['acres', 'area', 'acres'],
		['product', 'product', undefined],
		['amount', 'amount', 'unit'],
		['dosePerAc', 'dose per acre', 'dosePerHaUnit'],
		['dosePerHaUnit', 'dose in', undefined],
		['unit', 'unit', undefined],
		['reason', 'reason', undefined],
	]);
	expect(rows.map(({ acres, amount, unit, dosePerHaUnit }) => [acres, amount, unit, dosePerHaUnit])).toEqual([
		[10, expect.closeTo(10, 5), 'gal', 'gal'],
		[1, expect.closeTo(0.0132, 4), 'gal', 'gal'],
		[1, expect.closeTo(0.1102, 4), 'lb', 'oz'],
	]);
	expect(rows[0]?.['reason']).toBe('in 5 L of oil');
});

/** Names and words that somebody entered. */
const TYPED = new Set([
	'product',
	'products',
	'sprayer',
	'field',
	'reason',
	'source',
	'wentTo',
	'told',
	'washings',
	'note',
]);

function sideBySide(metric: Report, us: Report): (readonly [ReportColumn, ReportColumn])[] {
	const named = metric.columns.filter(({ key, under }) => !(key === 'areaHa' && under === 'acres'));
	const fresh = us.columns.filter(({ key }) => !/PerHaUnit$|^meanDoseUnit$/.test(key));
	expect(fresh).toHaveLength(named.length);
	return named.flatMap((old, place) => {
		const one = fresh[place];
		return one ? [[old, one] as const] : [];
	});
}

function unitOf({ name, unit, unitFrom }: ReportColumn, row: Readonly<Record<string, string | number | null>>): string {
	const told = unit ?? (unitFrom === undefined ? '' : String(row[unitFrom] ?? ''));
	return `${told}${told === '' ? '' : name.endsWith(' per ha') ? '/ha' : name.endsWith(' per acre') ? '/ac' : ''}`;
}
