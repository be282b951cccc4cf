import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { FieldMapPaper } from '../../shared/contract/fields-papers.ts';
import type { LoadCard } from '../../shared/contract/jobs-card.ts';
import type { Report } from '../../shared/contract/season.ts';
import type { CountSheet, EmergencyList } from '../../shared/contract/store-papers.ts';
import type { DisplayUnits } from '../../shared/core/display/display-units.ts';
import { buildIfStale } from '../host/build.ts';
import { paper } from './paper-build.ts';

/** The units of the farm, in which a paper is read; a finished report is in them already. */
type Read = { readonly units: DisplayUnits };

/** What `renderer/paper/paper.tsx` exports, built for Node. */
export type PaperProgram = {
	loadCardsHtml(cards: readonly LoadCard[], options: Read & { readonly paper: 'A4' | 'A5' }): string;
	reportHtml(report: Report): string;
	countSheetHtml(sheet: CountSheet, read: Read): string;
	emergencyListHtml(list: EmergencyList, read: Read): string;
	fieldMapHtml(map: FieldMapPaper, read: Read): string;
};

let loaded: Promise<PaperProgram> | null = null;

/** The pages for the printer, built first where their sources have changed. Once per process. */
export function paperProgram(): Promise<PaperProgram> {
	loaded ??= load().catch((error: unknown) => {
		loaded = null;
		throw error;
	});
	return loaded;
}

async function load(): Promise<PaperProgram> {
	const root = projectRoot();
	const hasSources = existsSync(join(root, 'renderer', 'paper'));
	const folder = hasSources ? await buildIfStale(paper, root) : join(root, 'build', paper.name);
	return (await import(pathToFileURL(join(folder, 'paper.js')).href)) as PaperProgram;
}

/** The folder with package.json above this file, which may itself stand in `build/`. */
function projectRoot(): string {
	let folder = import.meta.dirname;
	while (!existsSync(join(folder, 'package.json')) && dirname(folder) !== folder) folder = dirname(folder);
	return folder;
}
