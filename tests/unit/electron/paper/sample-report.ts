import type { Report } from '../../../../shared/contract/season.ts';

/** A report of one text and one figure a row. */
export function reportOf(rows: Report['rows']): Report {
	return {
		report: 'spray diary',
		title: 'Spray diary',
		farm: '=Brookside',
		from: '2026-10-01',
		to: '2027-09-30',
		madeAt: '2027-10-02T14:05:00+02:00',
		heads: [{ chain: 'records', seq: 412, hash: '1a2b3c4d5e6f7081'.repeat(4) }],
		columns: [
			{ key: 'name', name: 'name', kind: 'text' },
			{ key: 'figure', name: 'treated', kind: 'number', unit: 'ha', digits: 2 },
			{ key: 'on', name: 'on', kind: 'date' },
		],
		rows,
		totals: { name: 'total', figure: 7, on: null },
		notes: ['=note'],
	};
}
