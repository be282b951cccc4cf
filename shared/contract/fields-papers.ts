import type { FieldRow } from './fields.ts';

type Ground = { readonly type: 'Polygon' | 'MultiPolygon'; readonly coordinates: readonly unknown[] };

/** What the printed map shows; made by the program, drawn by the page. */
export type FieldMapPaper = {
	readonly farm: string;
	readonly season: number;
	readonly madeAt: string;
	readonly by: 'crop' | 'difference';
	readonly fields: readonly (FieldRow & {
		readonly geometry: Ground;
		readonly leftOut: readonly { readonly kind: 'strip' | 'obstacle'; readonly geometry: Ground }[];
	})[];
};
