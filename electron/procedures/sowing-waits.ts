import { type CroppingStored, croppingOf, findField } from '../../db/modules/fields.ts';
import { listProducts, type ProductRow } from '../../db/modules/products.ts';
import { listUses } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { addDays, seasonOf } from '../../shared/basics/calendar.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { SowingWait } from '../../shared/contract/limits.ts';
import { comesAfter, isTooEarly, sowingWait, sowingWords } from '../../shared/core/limits/following-crop.ts';
import { type Limit, speaksOfCrop } from '../../shared/core/limits/limit.ts';
import { waitOf } from '../../shared/core/limits/time-limits.ts';
import { toHectares } from '../../shared/units/area.ts';
import { toLocalDate } from './clock.ts';
import { forebearsOf } from './field-lineage.ts';
import { loadFor } from './field-register.ts';
import { seasonNow } from './fields.ts';
import type { QueryContext } from './handler.ts';
import { asNext } from './next-crops.ts';
import type { ProductDetails } from './products.ts';
import { sownOn } from './seed-sowings.ts';

type Product = ProductRow<ProductDetails>;
type Treated = { readonly product: Product; readonly date: string; readonly season: number };
type Looked = { readonly today: string; readonly season: number; readonly crops: readonly CroppingStored[] };

/** A crop that must not be the next one is looked for so long: what was treated may have stood for two seasons. */
const LAST_DAYS = 730;

/** What the labels of earlier treatments keep off a field, and whether a crop on the books comes too early. */
export async function sowingWaits(
	context: QueryContext,
	{ fieldId }: { readonly fieldId: string },
): Promise<Result<SowingWait[]>> {
	const { db, farm, now } = context;
	const season = seasonNow(context);
	const row = await findField(db, fieldId, season);
	if (!row) return refuse('not.found', { what: 'field', id: fieldId });
	const today = toLocalDate(now, farm.zone);
	const forebears = await forebearsOf(db, fieldId, toHectares(loadFor(row).m2 ?? 0));
	const treated = await treatedOn(context, [fieldId, ...forebears.map(({ id }) => id)], today);
	const looked = { today, season, crops: (await croppingOf(db, fieldId)).toReversed() };
	const waits = new Map<string, SowingWait>();
	for (const one of treated) {
		for (const limit of one.product.limits) {
			const wait = waitAfter(one, limit, looked);
			if (wait) waits.set(`${one.product.id} ${wait.crops.join()}`, wait);
		}
	}
	return ok([...waits.values()]);
}

/** Treatments, and sowings of treated seed, with products whose label speaks of the crop to follow, oldest first. */
async function treatedOn({ db, farm }: QueryContext, fieldIds: readonly string[], today: string): Promise<Treated[]> {
	const products = await productsThatLast(db);
	const days = [...products.values()].flatMap(({ limits }) => limits.map((limit) => waitOf(limit) ?? 0));
	const from = addDays(today, -Math.max(LAST_DAYS, ...days));
	if (products.size === 0) return [];
	const uses = await listUses(db, { from, to: today, productIds: [...products.keys()], fieldIds });
	const sown = (await Promise.all(fieldIds.map((fieldId) => sownOn(db, { fieldId })))).flat();
	return [...uses.map((use) => ({ ...use, date: use.sprayDate })), ...sown]
		.flatMap(({ productId, date }): Treated[] => {
			const product = products.get(productId);
			return product && date >= from ? [{ product, date, season: seasonOf(date, farm.seasonStartMonth) }] : [];
		})
		.sort((a, b) => (a.date < b.date ? -1 : 1));
}

async function productsThatLast(db: ReadDb): Promise<Map<string, Product>> {
	const found = (await listProducts<ProductDetails>(db)).map((product) => ({
		...product,
		limits: product.limits.filter(({ kind }) => kind === 'followingCrop'),
	}));
	return new Map(found.filter(({ limits }) => limits.length > 0).map((product) => [product.id, product]));
}

/** The wait of one treatment, as long as it lasts or a crop of this season or a later one comes too early. */
function waitAfter(treated: Treated, limit: Limit, { today, season, crops }: Looked): SowingWait | null {
	const wait = sowingWait(limit, treated.date);
	const grown = crops.find((crop) => crop.season === treated.season);
	if (wait === null || !speaksOfCrop(limit, grown ? asNext(grown).names : [])) return null;
	const after = crops.filter((crop) => comesAfter(crop, treated));
	const early = (wait.from === null ? after.slice(0, 1) : after).find((crop) => isTooEarly(wait, asNext(crop)));
	const lasts = wait.from === null ? after.length === 0 : wait.from > today;
	if (!lasts && (early === undefined || early.season < season)) return null;
	return {
		product: treated.product.name,
		treatedOn: treated.date,
		season: treated.season,
		crops: [...wait.crops],
		from: wait.from,
		say: sowingWords(wait),
		source: limit.source,
		fromMemory: limit.fromMemory,
		tooEarly: early ? { crop: early.crop, season: early.season, sownOn: early.sownOn } : null,
	};
}
