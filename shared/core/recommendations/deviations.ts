import { writtenDate } from '../../basics/calendar.ts';
import { writtenFigure } from '../../basics/written-figure.ts';

/** What an adviser recommended. No fields: every field of the crop. */
export type Recommended = {
	readonly givenOn: string;
	readonly validUntil: string;
	readonly crop: string | null;
	readonly fields: readonly { readonly fieldId: string; readonly name: string }[];
	readonly products: readonly {
		readonly productId: string;
		readonly name: string;
		readonly unit: string;
		readonly dosePerHa: number;
	}[];
	readonly sprayVolumeLPerHa: number | null;
	readonly withdrawn: { readonly why: string } | null;
};

/** What is planned to be done. */
export type PlannedWork = {
	readonly date: string;
	readonly sprayVolumeLPerHa: number;
	readonly fields: readonly { readonly fieldId: string; readonly name: string; readonly crop: string | null }[];
	readonly products: readonly {
		readonly productId: string;
		readonly name: string;
		readonly unit: string;
		/** Null: it stands on seed of which nobody knows yet on how much ground it goes. */
		readonly dosePerHa: number | null;
	}[];
};

export const deviationKinds = ['withdrawn', 'date', 'field', 'product', 'left out', 'dose', 'spray volume'] as const;
export type Deviation = { readonly kind: (typeof deviationKinds)[number]; readonly say: string };

/** Doses and volumes nearer than this part of each other are the same: rounding, or another unit. */
const SAME = 1e-3;

/**
 * Where a plan departs from the recommendation it started from: day, fields, products, doses, water. Each in one sentence
 * with both figures. A dose is compared per hectare; `+25 %` is planned ÷ recommended − 1. It informs: whether the label
 * allows a departure, the label limits say.
 */
export function deviations(recommended: Recommended, planned: PlannedWork): readonly Deviation[] {
	return [
		...(recommended.withdrawn
			? [{ kind: 'withdrawn' as const, say: `The recommendation was withdrawn: ${recommended.withdrawn.why}.` }]
			: []),
		...dateOutside(recommended, planned.date),
		...onOtherGround(recommended, planned),
		...otherProducts(recommended, planned),
		...otherWater(recommended, planned),
	];
}

/** A day on which a recommendation does not hold. */
export function dateOutside({ givenOn, validUntil }: Recommended, date: string): readonly Deviation[] {
	if (date > validUntil) {
		return [{ kind: 'date', say: `${writtenDate(date)} is after ${writtenDate(validUntil)}, until when it holds.` }];
	}
	if (date < givenOn)
		return [{ kind: 'date', say: `${writtenDate(date)} is before ${writtenDate(givenOn)}, when it was given.` }];
	return [];
}

function onOtherGround({ fields, crop }: Recommended, planned: PlannedWork): Deviation[] {
	return planned.fields.flatMap((field): Deviation[] => {
		if (fields.length > 0) {
			const named = fields.some(({ fieldId }) => fieldId === field.fieldId);
			return named ? [] : [{ kind: 'field', say: `${field.name} is not in it.` }];
		}
		if (crop === null || field.crop?.toLowerCase() === crop.toLowerCase()) return [];
		return [
			{ kind: 'field', say: `${field.name} carries ${field.crop ?? 'no crop on the books'}; it is for ${crop}.` },
		];
	});
}

function otherProducts(recommended: Recommended, planned: PlannedWork): Deviation[] {
	const added = planned.products.flatMap((line): Deviation[] => {
		const wanted = recommended.products.find(({ productId }) => productId === line.productId);
		if (!wanted) return [{ kind: 'product', say: `${line.name} is not in it.` }];
		if (line.dosePerHa === null || same(line.dosePerHa, wanted.dosePerHa)) return [];
		const percent = Math.round((line.dosePerHa / wanted.dosePerHa - 1) * 100);
		const apart = percent === 0 ? '' : ` (${percent > 0 ? '+' : '−'}${Math.abs(percent)} %)`;
		return [
			{
				kind: 'dose',
				say: `${line.name}: ${plain(line.dosePerHa)} ${line.unit}/ha instead of ${plain(wanted.dosePerHa)}${apart}.`,
			},
		];
	});
	const leftOut = recommended.products
		.filter(({ productId }) => !planned.products.some((line) => line.productId === productId))
		.map(
			({ name, dosePerHa, unit }): Deviation => ({
				kind: 'left out',
				say: `${name}, ${plain(dosePerHa)} ${unit}/ha, is left out.`,
			}),
		);
	return [...added, ...leftOut];
}

function otherWater({ sprayVolumeLPerHa: wanted }: Recommended, { sprayVolumeLPerHa: now }: PlannedWork): Deviation[] {
	if (wanted === null || same(now, wanted)) return [];
	return [{ kind: 'spray volume', say: `${plain(now)} L/ha of mix instead of ${plain(wanted)}.` }];
}

function same(a: number, b: number): boolean {
	return Math.abs(a - b) <= SAME * Math.max(a, b);
}

function plain(value: number): string {
	return writtenFigure(value, 4);
}
