import { addStrip, removeStrip, type StripStored } from '../../db/modules/fields.ts';
import { groundWithin } from '../../shared/core/geometry/cut-field.ts';
import { moveStrip } from '../../shared/core/geometry/move-strip.ts';
import type { Geometry } from './field-register.ts';
import type { CommandContext } from './handler.ts';

/** What became of the strips and obstacles of a field whose boundary was drawn anew, by name. */
export type StripsCarried = {
	readonly moved: readonly string[];
	/** Their side could not be found again: they stand as noted before, cut to the new boundary. */
	readonly toLookAt: readonly string[];
	/** Nothing of them lies in the new boundary. */
	readonly gone: readonly string[];
};

/** Areas and lengths nearer than this are the same. Common practice. */
const SAME = 0.01;
const WHY = 'the boundary was drawn anew';

/**
 * Takes strips and obstacles along to a boundary that comes into force now. A strip follows its sides, an obstacle keeps its
 * place. What is carried over counts as made for the new boundary; what keeps its older date is to be looked at by whoever opens the field.
 */
export async function carryStripsOver(
	context: CommandContext,
	change: { readonly strips: readonly StripStored[]; readonly before: Geometry | null; readonly after: Geometry },
	areasM2: { readonly before: number; readonly after: number },
): Promise<StripsCarried> {
	const { tx, now, newId, note } = context;
	const carried = { moved: [] as string[], toLookAt: [] as string[], gone: [] as string[] };
	const lay: Geometry[] = [];
	const lie: Geometry[] = [];
	const replace = async (strip: StripStored, next: Pick<StripStored, 'areaM2' | 'geometry' | 'createdAt'> | null) => {
		await removeStrip(tx, strip.id, now, WHY);
		const id = newId();
		if (next) await addStrip(tx, { ...strip, ...next, id });
		const { geometry: _, ...before } = strip;
		note({ table: 'field_strip', id: strip.id, before, after: next && { id, areaM2: next.areaM2 } });
	};
	for (const strip of change.strips) {
		const shape = strip.geometry ? (JSON.parse(strip.geometry) as Geometry) : null;
		const ground = shape && groundCarried(strip, shape, { ...change, lay, lie });
		if (shape) lay.push(shape);
		if (ground?.geometry) lie.push(ground.geometry);
		if (!shape) {
			const isSame = Math.abs(areasM2.after - areasM2.before) <= SAME * areasM2.before;
			if (isSame) await replace(strip, { areaM2: strip.areaM2, geometry: null, createdAt: now });
			else carried.toLookAt.push(strip.label);
		} else if (ground?.geometry) {
			const geometry = JSON.stringify(ground.geometry);
			await replace(strip, { areaM2: ground.areaM2, geometry, createdAt: ground.sure ? now : strip.createdAt });
			carried[ground.sure ? 'moved' : 'toLookAt'].push(strip.label);
		} else if (strip.kind === 'obstacle') {
			await replace(strip, null);
			carried.gone.push(strip.label);
		} else carried.toLookAt.push(strip.label);
	}
	return carried;
}

type Ground = { readonly geometry: Geometry | null; readonly areaM2: number; readonly sure: boolean };

function groundCarried(
	{ kind, label, widthM, areaM2 }: StripStored,
	strip: Geometry,
	around: { before: Geometry | null; after: Geometry; lay: readonly Geometry[]; lie: readonly Geometry[] },
): Ground | null {
	const { before: from, after: to, lay: withoutBefore, lie: without } = around;
	if (kind === 'strip' && widthM !== null && from) {
		const moved = moveStrip({ from, to, strip, areaM2, widthM, label, withoutBefore, without });
		if (moved.ok && moved.value?.geometry) return { ...moved.value, geometry: moved.value.geometry, sure: true };
	}
	const inside = groundWithin(to, strip);
	if (!inside.ok || !inside.value.geometry) return null;
	const { geometry, areaM2: left } = inside.value;
	return { geometry, areaM2: left, sure: kind === 'obstacle' && Math.abs(left - areaM2) <= SAME * areaM2 };
}

/** What happened, as warnings. */
export function warningsOf({ moved, toLookAt, gone }: StripsCarried, field: string) {
	const say = (code: string, names: readonly string[], words: string) =>
		names.length === 0 ? [] : [{ code, message: `${field}: ${names.join(', ')} ${words}` }];
	return [
		...say('strip.moved', moved, 'moved with the boundary; the area was worked out again.'),
		...say(
			'strip.lookAt',
			toLookAt,
			'could not be placed on the new boundary for certain: look at it and note it again.',
		),
		...say('strip.gone', gone, 'lies outside the new boundary and was taken off.'),
	];
}
