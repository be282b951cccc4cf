import type { ReactNode } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import type { FieldMapPaper } from '../../shared/contract/fields-papers.ts';
import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import type { Report } from '../../shared/contract/season.ts';
import type { CountSheet, EmergencyList } from '../../shared/contract/store-papers.ts';
import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import { longDate, timeOfDay } from '../format.ts';
import { UnitsContext, unitsIn } from '../units.ts';
import type { Paper } from './card-layout.ts';
import mapStyle from './field-map-sheet.css?inline';
import { FieldMapSheet, layoutOf } from './field-map-sheet.tsx';
import cardStyle from './load-card.css?inline';
import { LoadCardSheet } from './load-card-sheet.tsx';
import { cssString, paperPage } from './paper-page.ts';
import reportStyle from './report.css?inline';
import { headWords, INFORMS, paperColumns, periodWords } from './report-cells.ts';
import { ReportSheet } from './report-sheet.tsx';
import storeStyle from './store-papers.css?inline';
import { CountSheetPage, EmergencyListPages } from './store-papers.tsx';
import { withDryOunces } from './us-words.ts';

const pages = {
	A4: '@page { size: A4 portrait; margin: 10mm 10mm 9mm; }',
	A5: '@page { size: A5 portrait; margin: 8mm 7mm 7mm; }',
} as const;

/** The units of the farm, in which a paper is read. */
type Read = { readonly units: DisplayUnits };

function drawn(page: ReactNode, { units }: Read): string {
	return renderToStaticMarkup(<UnitsContext value={withDryOunces(unitsIn[units])}>{page}</UnitsContext>);
}

/** Load cards as one self-contained page of HTML, each on a sheet of its own. */
export function loadCardsHtml(
	cards: readonly LoadCard[],
	{ paper, ...read }: Read & { readonly paper: Paper },
): string {
	const [first] = cards;
	return paperPage({
		title: first ? `Load cards ${first.job}` : 'Load cards',
		css: `${pages[paper]}\n${cardStyle}`,
		body: cards.map((card) => drawn(<LoadCardSheet card={card} paper={paper} />, read)).join('\n'),
	});
}

/** Columns that need more than this need the long side of the paper; a figure without its unit needs less than a text. */
const MOST_UPRIGHT = 8;
const FIGURE_ROOM = 0.7;

/** A season report as one self-contained page of HTML. What proves it stands in the margin of every sheet. */
export function reportHtml(report: Report): string {
	const room = paperColumns(report).map(({ column: { kind, unitFrom } }) =>
		kind === 'number' && unitFrom === undefined ? FIGURE_ROOM : 1,
	);
	const broad = room.reduce((sum, each) => sum + each, 0) > MOST_UPRIGHT;
	const left = [
		[report.title, report.farm, periodWords(report)].filter((part) => part !== '').join(' · '),
		`Made ${longDate(report.madeAt)} ${timeOfDay(report.madeAt)}. ${INFORMS}`,
		'To hold this page against the books: Records, “Seal from a printed report”.',
	];
	const right = ['newest entries:', ...headWords(report)];
	return paperPage({
		title: `${report.title} ${report.from} to ${report.to}`,
		css: [reportStyle, margins(broad, left, right)].join('\n'),
		body: renderToStaticMarkup(<ReportSheet report={report} />),
	});
}

function margins(broad: boolean, left: readonly string[], right: readonly string[]): string {
	const lines = (words: readonly string[]) => words.map(cssString).join(' "\\a" ');
	const type = 'font: 7.5pt/1.35 var(--face); color: #000; vertical-align: top; padding-top: 2mm;';
	return `@page {
	size: A4 ${broad ? 'landscape' : 'portrait'};
	margin: 12mm 12mm 19mm;
	@bottom-left { ${type} text-align: left; width: 66%; white-space: pre-line; content: ${lines(left)}; }
	@bottom-right { ${type} text-align: right; width: 34%; white-space: pre-line; content: "page " counter(page) " of " counter(pages) ", " ${lines(right)}; }
}
${broad ? '@media print { .report-sheet { font-size: 7.5pt; } }' : ''}`;
}

const upright = '@page { size: A4 portrait; margin: 12mm; }';

/** The sheet a store is counted on, in the order of the shelves. */
export function countSheetHtml(sheet: CountSheet, read: Read): string {
	return paperPage({
		title: `Count sheet ${sheet.madeAt}`,
		css: [storeStyle, upright].join('\n'),
		body: drawn(<CountSheetPage sheet={sheet} />, read),
	});
}

/** What is in the store, on one page to be kept away from it. */
export function emergencyListHtml(list: EmergencyList, read: Read): string {
	return paperPage({
		title: `Store list ${list.madeAt}`,
		css: [storeStyle, upright].join('\n'),
		body: drawn(<EmergencyListPages list={list} />, read),
	});
}

/** The map of the fields on a sheet of A4, to scale. */
export function fieldMapHtml(map: FieldMapPaper, read: Read): string {
	const layout = layoutOf(map, unitsIn[read.units]);
	return paperPage({
		title: `Fields by ${map.by} ${map.madeAt}`,
		css: [mapStyle, `@page { size: A4 ${layout.broad ? 'landscape' : 'portrait'}; margin: 10mm; }`].join('\n'),
		body: drawn(<FieldMapSheet map={map} layout={layout} />, read),
	});
}
