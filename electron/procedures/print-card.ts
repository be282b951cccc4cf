import { findJob } from '../../db/modules/jobs.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import { displayUnitsOf } from '../../shared/core/display/display-units.ts';
import { findingSentences } from '../../shared/core/limits/finding-sentences.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { pdfPages } from '../paper/pdf-pages.ts';
import { paperProgram } from '../paper/render.ts';
import type { QueryContext } from './handler.ts';
import { detailsOf, planOf } from './job-details.ts';
import { standingAgainst } from './limits.ts';
import { cardOf } from './load-card.ts';
import { blocks, warned } from './plan-job.ts';

type Wish = {
	readonly jobId: string;
	readonly load?: number | undefined;
	readonly path?: string | undefined;
	readonly paper: 'A4' | 'A5';
};

/** Prints the card of one load, or of every load of the job, each on its own page. A limit that blocks stops the card. */
export async function printCard(context: QueryContext, wish: Wish): Promise<Result<{ path: string; pages: number }>> {
	const { book, farm, printer } = context;
	const cards = await cardsOf(context, wish);
	if (!cards.ok) return cards;
	if (printer === null) return refuse('pdf.noBrowser');
	const { loadCardsHtml } = await paperProgram();
	const pdf = await printer.pdf(loadCardsHtml(cards.value, { paper: wish.paper, units: displayUnitsOf(farm) }));
	if (!pdf.ok) return pdf;
	const [first] = cards.value;
	const which = wish.load === undefined ? 'all loads' : `load ${wish.load}`;
	const name = `${first?.date ?? ''} load card ${first?.code.split('-')[0] ?? ''} ${which}`;
	const written = writeExport(exportPath(book.folder, wish.path, name, 'pdf'), pdf.value);
	return written.ok ? ok({ path: written.value, pages: pdfPages(pdf.value) }) : written;
}

async function cardsOf(context: QueryContext, { jobId, load }: Wish): Promise<Result<LoadCard[]>> {
	const { db, farm } = context;
	const found = await findJob(db, jobId);
	if (!found) return refuse('not.found', { what: 'job', id: jobId });
	const limits = await standingAgainst(context, jobId);
	const [stopping] = findingSentences(blocks(limits), { named: false });
	if (stopping) return refuse('job.blocked', { why: stopping });
	const [open] = warned(limits);
	if (open && detailsOf(found.job).overrideWhy === null) return refuse('job.reasonNeeded', { why: open.say });
	const numbers = load === undefined ? planOf(found.job).loads.map((line) => line.load) : [load];
	const cards: LoadCard[] = [];
	for (const number of numbers) {
		const card = await cardOf(db, farm, jobId, number);
		if (!card.ok) return card;
		cards.push({ ...card.value, limits });
	}
	return ok(cards);
}
