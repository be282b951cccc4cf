import { geometriesOf } from '../../db/modules/fields.ts';
import type { PassStored } from '../../db/modules/records.ts';
import type { ReadDb } from '../../db/transaction.ts';
import { type GroundPieces, groundOnce, groundPieces } from '../../shared/core/geometry/ground-pieces.ts';
import { toHectares } from '../../shared/units/area.ts';
import type { Geometry } from './field-register.ts';

/** Ground that some passes cover. */
export type Ground = {
	/** Each pass counts. */
	readonly treatedHa: number;
	/** Each hectare once: the largest pass over each piece of ground, whatever the fields on it were called. */
	readonly basicHa: number;
	/** One pass is one job on one field, whatever its products and loads. */
	readonly passes: number;
};

/** Where the fields of some passes lie over each other: split and merged within the period, or drawn so. */
export async function piecesUnder(
	db: ReadDb,
	passes: readonly { readonly fieldId: string | null }[],
): Promise<GroundPieces> {
	const ids = [...new Set(passes.flatMap(({ fieldId }) => fieldId ?? []))];
	const rows = await geometriesOf(db, ids);
	return groundPieces(rows.map(({ id, geometry }) => ({ id, geometry: JSON.parse(geometry) as Geometry })));
}

/** Area of a pass: what its loads covered, of the product that covered most. Treated seed and closed spaces are no ground. */
export function groundOf(
	all: readonly Pick<PassStored, 'fieldId' | 'jobId' | 'productId' | 'treatedM2'>[],
	pieces: GroundPieces,
): Ground {
	const lines = all.filter(({ fieldId }) => fieldId !== null);
	const passes = [...Map.groupBy(lines, ({ fieldId, jobId }) => `${fieldId} ${jobId}`).values()].map((pass) => {
		const byProduct = Map.groupBy(pass, ({ productId }) => productId).values();
		const areas = [...byProduct].map((own) => own.reduce((sum, { treatedM2 }) => sum + treatedM2, 0));
		return { fieldId: pass[0]?.fieldId ?? '', areaM2: Math.max(...areas) };
	});
	return {
		treatedHa: toHectares(passes.reduce((sum, { areaM2 }) => sum + areaM2, 0)),
		basicHa: toHectares(groundOnce(passes, pieces)),
		passes: passes.length,
	};
}

/** Why hectares counted once may come to less than their fields together. */
export function sharedGroundNote(pieces: GroundPieces): string[] {
	if (pieces.size === 0) return [];
	return [
		`${pieces.size} fields lie over one another on the map, or over what they were before, wholly or by strips: ground they share stands once in the areas counted once.`,
	];
}
