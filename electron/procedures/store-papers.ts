import { findProducts } from '../../db/modules/products.ts';
import { lastPlaces, openTake } from '../../db/modules/stock-takes.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { CountSheet, EmergencyList } from '../../shared/contract/store-papers.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { pdfPages } from '../paper/pdf-pages.ts';
import { type PaperProgram, paperProgram } from '../paper/render.ts';
import { toIso } from './clock.ts';
import { documentPicture, documentsInUse } from './documents.ts';
import type { QueryContext } from './handler.ts';
import type { ProductDetails } from './products.ts';
import { takeLines } from './stock-take.ts';
import { onHand } from './store.ts';
import { siteOf } from './store-watch.ts';

type Printed = { path: string; pages: number };

/** The sheet for the open stock take, else for one that would begin now. */
export async function printCountSheet(
	context: QueryContext,
	{ book, path }: { book: boolean; path?: string | undefined },
): Promise<Result<Printed>> {
	const { db, farm, now } = context;
	const open = await openTake(db);
	const made = {
		id: '',
		farmId: farm.id,
		freezeAt: now,
		blind: 1,
		openedAt: now,
		openedBy: '',
		userId: '',
		deviceId: '',
	};
	const lines = await takeLines(db, farm, open ?? { take: made, end: null });
	const sheet: CountSheet = {
		farm: farm.farmName ?? '',
		madeAt: toIso(now, farm.zone),
		freezeAt: open ? toIso(open.take.freezeAt, farm.zone) : null,
		withBook: book,
		lines: lines.map(({ place, name, formulation, unit, packSizes, book: inBook }) => ({
			...{ place, name, formulation, unit, sizes: packSizes },
			book: book ? inBook : null,
		})),
	};
	const name = `${sheet.madeAt.slice(0, 10)} count sheet ${book ? 'with book' : 'blind'}`;
	return print(context, name, path, (paper) => paper.countSheetHtml(sheet));
}

/** What is in the store, most dangerous first, for whoever comes when it burns or leaks. */
export async function printEmergencyList(
	context: QueryContext,
	{ path }: { path?: string | undefined },
): Promise<Result<Printed>> {
	const list = await emergencyList(context);
	return print(context, `${list.madeAt.slice(0, 10)} store list`, path, (paper) => paper.emergencyListHtml(list));
}

export async function emergencyList(context: QueryContext): Promise<EmergencyList> {
	const { db, farm, now } = context;
	const stock = await onHand(context);
	invariant(stock.ok, 'the book can always be read');
	const there = stock.value.filter(({ amount }) => amount > 0);
	const products = await findProducts<ProductDetails>(
		db,
		there.map(({ productId }) => productId),
	);
	const site = await siteOf(db, farm.id);
	const counted = await lastPlaces(db);
	return {
		farm: farm.farmName ?? '',
		madeAt: toIso(now, farm.zone),
		place: site.place,
		contacts: site.contacts,
		storedL: there.reduce((sum, { amount }) => sum + amount, 0),
		bundL: site.bundL,
		plan: site.plan,
		planPicture: site.plan === null ? await planPicture(context) : null,
		lines: there
			.map(({ productId, name, formulation, unit, amount, packs, opened }) => ({
				...{ name, formulation, unit, amount },
				containers: [
					...packs.map(({ size, count }) => `${count} × ${size} ${unit}`),
					...(opened.length > 0 ? [`${opened.length} opened`] : []),
				].join(', '),
				actives: (products.get(productId)?.actives ?? []).map(({ substance }) => substance).join(', '),
				place: counted.get(productId) ?? products.get(productId)?.place ?? '',
				hazards: products.get(productId)?.hazards ?? [],
			}))
			.sort((a, b) => gravest(a.hazards) - gravest(b.hazards) || b.amount - a.amount),
	};
}

async function planPicture(context: QueryContext): Promise<string | null> {
	const plan = (await documentsInUse(context.db, null)).find(({ kind }) => kind === 'store plan');
	if (!plan) return null;
	const picture = await documentPicture(context, { documentId: plan.id });
	return picture.ok ? picture.value.dataUrl : null;
}

/** Fire first, then poison and corrosion, then lasting harm, then the rest. Common practice. */
const gravity = [/^H22/, /^H3(01|11|3[01])/, /^H3(04|14|18)/, /^H3[3-7]/, /^H4/, /^H/];

function gravest(hazards: readonly string[]): number {
	const at = gravity.findIndex((pattern) => hazards.some((code) => pattern.test(code)));
	return at < 0 ? gravity.length : at;
}

async function print(
	{ book, printer }: QueryContext,
	name: string,
	path: string | undefined,
	page: (paper: PaperProgram) => string,
): Promise<Result<Printed>> {
	if (printer === null) return refuse('pdf.noBrowser');
	const pdf = await printer.pdf(page(await paperProgram()));
	if (!pdf.ok) return pdf;
	const written = writeExport(exportPath(book.folder, path, name, 'pdf'), pdf.value);
	return written.ok ? ok({ path: written.value, pages: pdfPages(pdf.value) }) : written;
}
