import { addBoundary, currentBoundaries, currentGeometry, findField, saveField } from '../../db/modules/fields.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { FieldDetail } from '../../shared/contract/fields.ts';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import { cutField } from '../../shared/core/geometry/cut-field.ts';
import { findOverlaps } from '../../shared/core/geometry/overlap.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';
import { boundingBox } from './boundary-figures.ts';
import { carryStripsOver, warningsOf } from './carry-strips.ts';
import { toLocalDate } from './clock.ts';
import { detailOf, type Geometry } from './field-register.ts';
import { boundaryRow, fieldAt, seasonNow, textOfBoundary } from './fields.ts';
import type { CommandContext, QueryContext } from './handler.ts';

/** What no one means to draw: such ground cannot be sprayed or measured for what it is. */
const NEVER_MEANT = new Set(['self-crossing', 'rings overlap', 'no area', 'cannot be measured']);

type Redrawn = {
	readonly id: string;
	readonly version: number;
	readonly geometry: Geometry;
	readonly source: string;
	readonly on?: string | undefined;
};

/** Puts another boundary in force; the one before stays in the field's history with its own measurement. */
export async function setBoundary(
	context: CommandContext,
	input: Redrawn,
): Promise<Result<FieldDetail & { warnings: ReturnType<typeof warningsOf> }>> {
	const { tx, farm, now, newId, note } = context;
	const found = await fieldAt(context, input);
	if (!found.ok) return found;
	const measured = measure({ geometry: input.geometry });
	if (!measured.ok) return measured;
	const fault = boundaryFindings(input.geometry).find(({ kind }) => NEVER_MEANT.has(kind));
	if (fault) return refuse('geometry.invalid', { why: fault.say });
	const { field, strips } = found.value;
	const row = boundaryRow(measured.value, textOfBoundary(input.geometry), {
		id: newId(),
		fieldId: field.id,
		crs: 'EPSG:4326',
		gridScalePpm: null,
		source: input.source,
		takenOn: input.on ?? toLocalDate(now, farm.zone),
		now,
	});
	const lay = await currentGeometry(tx, field.id);
	const before = lay ? (JSON.parse(lay) as Geometry) : null;
	const areas = { before: found.value.boundary?.areaM2 ?? 0, after: row.areaM2 };
	const became = await carryStripsOver(context, { strips, before, after: input.geometry }, areas);
	const carried = (await findField(tx, field.id, 0))?.strips ?? [];
	const leftOutM2 = carried.reduce((sum, { areaM2 }) => sum + areaM2, 0);
	if (leftOutM2 >= row.areaM2) {
		return refuse('strip.nothingLeft', { leftOutM2: Math.round(leftOutM2), measuredM2: Math.round(row.areaM2) });
	}
	await addBoundary(tx, row);
	await saveField(tx, { ...field, boundaryId: row.id });
	note({
		table: 'field',
		id: field.id,
		before: { boundaryId: field.boundaryId, measuredM2: found.value.boundary?.areaM2 ?? null },
		after: { boundaryId: row.id, measuredM2: row.areaM2 },
	});
	const detail = await detailOf(tx, field.id, seasonNow(context));
	return detail.ok ? ok({ ...detail.value, warnings: warningsOf(became, field.name) }) : detail;
}

type Drawn = { readonly id?: string | undefined; readonly geometry: Geometry };

/** The other fields a boundary shares ground with. */
export async function sharedGround({ db }: QueryContext, { id, geometry }: Drawn) {
	const measured = measure({ geometry });
	if (!measured.ok) return measured;
	const box = boundingBox(geometry.coordinates);
	const near = (await currentBoundaries(db)).filter(
		(row) =>
			row.id !== id && box.west < row.east && box.east > row.west && box.south < row.north && box.north > row.south,
	);
	const shapes = near.map((row) => ({ id: row.id, geometry: JSON.parse(row.geometry) as Geometry }));
	const names = new Map(near.map((row) => [row.id, row.name]));
	const drawn = 'drawn';
	const found = findOverlaps([...shapes, { id: drawn, geometry }], { among: new Set([drawn]) });
	return ok(
		found.map(({ one, other, m2 }) => {
			const neighbour = one === drawn ? other : one;
			return { id: neighbour, name: names.get(neighbour) ?? '', m2 };
		}),
	);
}

/** The parts a line cuts a boundary into, each measured, the largest first. */
export function cutBoundary({ geometry, line }: { readonly geometry: Geometry; readonly line: number[][] }) {
	const cut = cutField(geometry, line);
	if (!cut.ok) return cut;
	const parts = [];
	for (const part of cut.value) {
		const measured = measure({ geometry: part });
		if (!measured.ok) return measured;
		parts.push({ geometry: part, areaHa: measured.value.areaHa, perimeterM: measured.value.perimeterM });
	}
	return ok(parts);
}
