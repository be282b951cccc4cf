import type { FieldLimitStored } from '../../db/modules/field-limits.ts';
import type { FieldWithFigures } from '../../db/modules/fields.ts';
import { appliesToCrop } from '../../shared/core/limits/check-limits.ts';
import type { Limit, PlannedApplication, PlannedProduct } from '../../shared/core/limits/limit.ts';
import { type UsedSoFar, usedSoFar } from '../../shared/core/limits/sum-limits.ts';
import { asLimit } from './field-limits.ts';

/** A day, its season, and what was put on a field until then. */
export type Asked = Pick<PlannedApplication, 'date' | 'history'> & {
	readonly season: PlannedApplication['ground']['season'];
};

/** A field on a day on which nothing more is put there: what its limits say of earlier treatments. */
export function nothingMore(
	{ field, crop }: FieldWithFigures,
	{ date, history, season }: Asked,
	products: readonly PlannedProduct[] = [],
): PlannedApplication {
	return {
		ground: {
			fieldId: field.id,
			crop: crop ? [crop.eppoCode, crop.crop].filter((name) => name !== null) : [],
			cropFrom: crop?.sownOn ?? null,
			cropTo: crop?.harvestOn ?? null,
			season,
			growthStage: null,
			harvestOn: crop?.harvestOn ?? null,
			bufferM: null,
		},
		date,
		sprayVolumeLPerHa: null,
		products,
		history,
		rules: [],
	};
}

/** A limit of a field with what counts towards it; null: that is not known, or the limit is for another crop or time. */
export type LimitNow = {
	readonly row: FieldLimitStored;
	readonly limit: Limit;
	readonly applies: boolean;
	readonly used: UsedSoFar | null;
};

export function limitsNow(rows: readonly FieldLimitStored[], field: FieldWithFigures, asked: Asked): LimitNow[] {
	const application = nothingMore(field, asked);
	return rows.map((row) => {
		const limit = asLimit(row);
		const applies = appliesToCrop(limit, application);
		return { row, limit, applies, used: applies ? usedSoFar({ limit, application, product: null }) : null };
	});
}
