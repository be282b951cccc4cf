/** Which reference system a layer's coordinates are in: the user's word first, then the file's; never a guess. */
import type { JsonValue } from '../../shared/basics/problem.ts';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import { type Description, describedSystem } from '../../shared/core/geodesy/described-system.ts';
import { type ReferenceSystem, systemFromCode } from '../../shared/core/geodesy/reference-system.ts';
import { crsChoices } from './crs-choices.ts';
import { epsgOf } from './epsg-name.ts';
import type { RawLayer, SystemClue } from './layer.ts';
import type { Extent } from './place-records.ts';

/** Said in place of a code by a person who does not trust what the file says. */
const ASK = 'ask';

/**
 * Refuses `file.crsUnsupported` for a system that is named but not known well enough to measure in, and `file.crsUnknown`
 * with `details.choices` where the file does not say, or says degrees over metres; `file.crsAsked` with the same choices where
 * it says, and `asked` is `ask`.
 */
export function settleSystem(
	file: string,
	layer: RawLayer,
	extent: Extent | null,
	asked: string | undefined,
): Result<ReferenceSystem> {
	if (asked !== undefined && asked !== ASK) {
		const epsg = epsgOf(asked);
		const system = epsg === null ? null : systemFromCode(epsg);
		return system
			? ok(system)
			: refuse('file.crsUnsupported', { file, crs: asked, why: 'the program does not know that code' });
	}
	const described = descriptionOf(layer.clue);
	if (asked === ASK && described.kind !== 'unreadable') {
		const own = described.kind === 'system' ? described.system.epsg : null;
		const named = described.kind === 'system' ? described.system.name : described.name;
		const crs = (own !== null && systemFromCode(own)?.name) || named;
		return refuse('file.crsAsked', {
			file,
			crs: spoken(crs),
			choices: marked(crsChoices(layer.records(), extent), own),
		});
	}
	if (described.kind === 'unsupported')
		return refuse('file.crsUnsupported', { file, crs: spoken(described.name), why: described.why });
	const why = described.kind === 'unreadable' ? described.why : wrongDegrees(described.system, extent);
	if (described.kind === 'system' && why === null) return ok(described.system);
	return refuse('file.crsUnknown', { file, why, choices: crsChoices(layer.records(), extent) });
}

/** Some programs write `unknown` in place of a name. */
function spoken(name: string): string {
	return /^(unknown|unnamed|)$/i.test(name.trim()) ? 'a reference system without a name' : name;
}

/** What the file says stays one of the choices, and is named as such. */
function marked(choices: readonly JsonValue[], epsg: number | null): JsonValue[] {
	return choices.map((choice) => {
		const { crs, exchanged } = choice as { readonly crs?: string; readonly exchanged?: boolean };
		const isOwn = epsg !== null && crs === `EPSG:${epsg}` && exchanged !== true;
		return isOwn ? { ...(choice as { readonly [key: string]: JsonValue }), inFile: true } : choice;
	});
}

function descriptionOf(clue: SystemClue): Description {
	if (clue.kind === 'none') return { kind: 'unreadable', why: clue.why };
	const listed = clue.kind === 'code' ? systemFromCode(clue.epsg) : null;
	if (listed) return { kind: 'system', system: listed };
	if (clue.text !== undefined) return describedSystem(clue.text);
	return {
		kind: 'unsupported',
		name: `EPSG:${clue.kind === 'code' ? clue.epsg : '?'}`,
		why: 'the program does not know that code',
	};
}

/** The middle of the coordinates lies beyond any longitude or latitude. */
function wrongDegrees(system: ReferenceSystem, extent: Extent | null): string | null {
	if (system.metresPerUnit !== null || !extent) return null;
	const { minX, minY, maxX, maxY } = extent;
	const beyond = Math.abs(minX + maxX) / 2 > 400 || Math.abs(minY + maxY) / 2 > 400;
	return beyond ? 'it says degrees, but its coordinates are metres or feet' : null;
}
