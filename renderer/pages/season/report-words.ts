import type { ReportName } from '../../../shared/contract/season.ts';

/** What each report is for, in the words of those who ask for it. */
export const reportPurposes: Readonly<Record<ReportName, string>> = {
	today: 'No entry, livestock off, harvest and next treatment, as of now: for the yard door.',
	'spray diary': 'Every treatment by date: what inspectors and assurance schemes ask to see.',
	'diary by field': 'The same, field after field: for the field file, the landlord or whoever farms it next.',
	'job sheet': 'Customer, fields, products, times and operator of each job: the copy for whoever it was done for.',
	'limit review': 'What went over a label limit or could not be told, with figure, records and source.',
	'limits used': 'What is used of each limit over several treatments, field by field: before the next one is planned.',
	'nutrients by field': 'Nitrogen and what else the fertilisers hold, field by field, against its limits.',
	'product totals': 'Amount, ground and average dose of each product: for yearly returns and for buying.',
	'active substance totals': 'Kilograms of each active substance: for statistics and for reduction plans.',
	'treatment frequency index': 'Full doses on whole fields: for schemes and grants that count treatments.',
	'stock statement': 'At the start, delivered, used, at the end: for the accounts and the store inspection.',
	'stock counts': 'Each stock take, with what shelf and book were apart.',
	'container statement': 'Containers received, emptied and still there: for the container return.',
	'area statement': 'Mapped, measured, loaded for and treated, field by field: for aid claims and contract work.',
	'operator log': 'Who mixed and sprayed which loads: for certificates and exposure records.',
	'sprayer log': 'What each sprayer did: for its test and its service.',
	'cleaning log': 'How each sprayer was cleaned down and rinsed out, and after what.',
	'incident log': 'Spills, overflows, splashes: how much, where it went, what was done, who was told.',
	recommendations: 'What advisers recommended, the jobs planned from it, and where they departed.',
	'US application list': 'The nine elements of 7 CFR 110.3, one line a product, field and day.',
};

/** Every report, in the order it is offered. */
export const reports = Object.keys(reportPurposes) as readonly ReportName[];

export const reportFormats = [
	['pdf', 'Paper, PDF'],
	['xlsx', 'Spreadsheet, XLSX'],
	['csv', 'CSV'],
	['json', 'JSON'],
] as const;

export type ReportFormat = (typeof reportFormats)[number][0];

/** `spray-diary` in an address is the report `spray diary`. */
export function reportOfAddress(text: string): ReportName | undefined {
	return reports.find((name) => addressOf(name) === text);
}

export function addressOf(name: ReportName): string {
	return name.replaceAll(' ', '-');
}

export function capital(text: string): string {
	return text.charAt(0).toUpperCase() + text.slice(1);
}
