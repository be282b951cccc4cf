import { type CroppingStored, listCropping } from '../../db/modules/fields.ts';
import type { ReadDb } from '../../db/transaction.ts';
import type { NextCrop } from '../../shared/core/limits/limit.ts';

type Crop = Pick<CroppingStored, 'crop' | 'eppoCode' | 'sownOn'>;
type Treated = { readonly fieldId: string; readonly date: string; readonly crop: Crop | null };

/**
 * What is known to be sown on a field after a treatment in a season: the crop of that season where it was sown later, and
 * the one of the next.
 */
export async function nextCropsIn(
	db: ReadDb,
	season: number,
	fieldIds?: readonly string[],
): Promise<(treated: Treated) => NextCrop[]> {
	const after = new Map((await listCropping(db, season + 1, fieldIds)).map((crop) => [crop.fieldId, crop]));
	return ({ fieldId, date, crop }) => {
		const own = crop?.sownOn && crop.sownOn > date ? crop : undefined;
		return [own, after.get(fieldId)].flatMap((each) => (each ? [asNext(each)] : []));
	};
}

export function asNext({ crop, eppoCode, sownOn }: Crop): NextCrop {
	return { names: [eppoCode, crop].filter((name) => name !== null), sownOn };
}
