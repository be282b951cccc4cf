import { findProducts } from '../../db/modules/products.ts';
import { lastPlaces, openTake } from '../../db/modules/stock-takes.ts';
import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Store } from '../../shared/contract/store-list.ts';
import type { CountSheet, EmergencyList, EmergencyPage } from '../../shared/contract/store-papers.ts';
import { type DisplayUnits, displayUnitsOf } from '../../shared/core/display/display-units.ts';
import { exportPath, writeExport } from '../paper/exported.ts';
import { pdfPages } from '../paper/pdf-pages.ts';
import { type PaperProgram, paperProgram } from '../paper/render.ts';
import { toIso } from './clock.ts';
import { documentPicture, documentsInUse } from './documents.ts';
import type { QueryContext } from './handler.ts';
import { onHand } from './on-hand.ts';
import type { ProductDetails } from './products.ts';
import { takeLines } from './stock-take.ts';
import { openStores, storeInLedger, storeSaid, storeToldOf } from './stores.ts';

type Printed = { path: string; pages: number };

/** The sheet for the open stock take, else for one that would begin now. */
export async function printCountSheet(
	context: QueryContext,
	{ book, storeId, path }: { book: boolean; storeId?: string | undefined; path?: string | undefined },
): Promise<Result<Printed>> {
	const { db, farm, now } = context;
	const store = await storeSaid(db, farm, storeId);
	if (!store.ok) return store;
	const open = await openTake(db, store.value);
	const made = {
		id: '',
		farmId: farm.id,
		freezeAt: now,
		blind: 1,
		openedAt: now,
		openedBy: '',
		userId: '',
		deviceId: '',
		storeId: store.value,
	};
	const named = several(await openStores(db, farm)).find((each) => each.storeId === storeToldOf(farm, store.value));
	const lines = await takeLines(db, farm, open ?? { take: made, end: null });
	const sheet: CountSheet = {
		farm: farm.farmName ?? '',
		store: named?.name ?? '',
		madeAt: toIso(now, farm.zone),
		freezeAt: open ? toIso(open.take.freezeAt, farm.zone) : null,
		withBook: book,
		lines: lines.map(({ place, name, formulation, unit, packSizes, book: inBook }) => ({
			...{ place, name, formulation, unit, sizes: packSizes },
			book: book ? inBook : null,
		})),
	};
	const of = named ? ` ${fileWord(named.name)}` : '';
	const name = `${sheet.madeAt.slice(0, 10)} count sheet${of} ${book ? 'with book' : 'blind'}`;
	return print(context, name, path, (paper, read) => paper.countSheetHtml(sheet, read));
}

/** What is in each store, most dangerous first, for whoever comes when it burns or leaks. */
export async function printEmergencyList(
	context: QueryContext,
	{ storeId, path }: { storeId?: string | undefined; path?: string | undefined },
): Promise<Result<Printed>> {
	const list = await emergencyList(context, { storeId });
	if (!list.ok) return list;
	return print(context, `${list.value.madeAt.slice(0, 10)} store list`, path, (paper, read) =>
		paper.emergencyListHtml(list.value, read),
	);
}

/** A page for each store in use, or for one of them. */
export async function emergencyList(
	context: QueryContext,
	{ storeId }: { storeId?: string | undefined } = {},
): Promise<Result<EmergencyList>> {
	const { db, farm, now } = context;
	const said = await storeSaid(db, farm, storeId);
	if (!said.ok) return said;
	const all = await openStores(db, farm);
	const pages: EmergencyPage[] = [];
	for (const store of all) {
		if (storeId !== undefined && store.storeId !== storeId) continue;
		pages.push(await emergencyPage(context, store, several(all).length > 0));
	}
	return ok({ farm: farm.farmName ?? '', madeAt: toIso(now, farm.zone), stores: pages });
}

async function emergencyPage(context: QueryContext, store: Store, named: boolean): Promise<EmergencyPage> {
	const { db, farm } = context;
	const stock = await onHand(context, { storeId: store.storeId });
	invariant(stock.ok, 'the book can always be read');
	const there = stock.value.filter(({ amount }) => amount > 0);
	const products = await findProducts<ProductDetails>(
		db,
		there.map(({ productId }) => productId),
	);
	const counted = await lastPlaces(db, storeInLedger(farm, store.storeId));
	return {
		store: named ? store.name : '',
		place: store.place,
		contacts: store.contacts,
		storedL: there.reduce((sum, { amount }) => sum + amount, 0),
		bundL: store.bundL,
		plan: store.plan,
		planPicture: store.plan === null ? await planPicture(context, store) : null,
		lines: there
			.map(({ productId, name, formulation, unit, amount, packs, opened }) => ({
				...{ name, formulation, unit, amount },
				containers: [
					...packs.map(({ size, count }) => `${count} × ${size} ${unit}`),
					...(opened.length > 0 ? [`${opened.length} opened`] : []),
				].join(', '),
				actives: (products.get(productId)?.actives ?? []).map(({ substance }) => substance).join(', '),
				place: counted.get(productId) ?? (store.first ? products.get(productId)?.place : undefined) ?? '',
				hazards: products.get(productId)?.hazards ?? [],
			}))
			.sort((a, b) => gravest(a.hazards) - gravest(b.hazards) || b.amount - a.amount),
	};
}

/** The stores, where there is more than one: only then is one of them named. */
function several(stores: readonly Store[]): readonly Store[] {
	return stores.length > 1 ? stores : [];
}

/** A name as a file may have it. */
function fileWord(name: string): string {
	return name.replace(/[^\p{L}\p{N} -]+/gu, ' ').trim();
}

async function planPicture(context: QueryContext, { storeId }: Store): Promise<string | null> {
	const owner = { storeId: storeInLedger(context.farm, storeId) };
	const plan = (await documentsInUse(context.db, owner)).find(({ kind }) => kind === 'store plan');
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
	{ book, farm, printer }: QueryContext,
	name: string,
	path: string | undefined,
	page: (paper: PaperProgram, read: { readonly units: DisplayUnits }) => string,
): Promise<Result<Printed>> {
	if (printer === null) return refuse('pdf.noBrowser');
	const pdf = await printer.pdf(page(await paperProgram(), { units: displayUnitsOf(farm) }));
	if (!pdf.ok) return pdf;
	const written = writeExport(exportPath(book.folder, path, name, 'pdf'), pdf.value);
	return written.ok ? ok({ path: written.value, pages: pdfPages(pdf.value) }) : written;
}
