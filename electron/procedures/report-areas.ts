import { listFields, sprayedFigures } from '../../db/modules/fields.ts';
import { jobsById, standingLogs } from '../../db/modules/jobs.ts';
import { listPasses } from '../../db/modules/records.ts';
import { seasonOf } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import { toHectares } from '../../shared/units/area.ts';
import { endOfDay, startOfDay } from './clock.ts';
import { loadFor } from './field-register.ts';
import type { QueryContext } from './handler.ts';
import { planOf } from './job-details.ts';
import { groundOf, piecesUnder, sharedGroundNote } from './report-ground.ts';
import { number, type Period, type ReportTable, text, totalsOf } from './report-table.ts';

const ha = { unit: 'ha' } as const;

type AreaLine = Readonly<Record<'mappedHa' | 'measuredHa' | 'loadForHa' | 'reportedHa', number | null>> & {
	readonly loadedForHa: number;
	readonly passes: number;
};

/** Each field's areas side by side: mapped, measured, to load for, loaded for, treated, reported by the sprayer. */
export async function areaStatement(context: QueryContext, period: Period): Promise<ReportTable> {
	const { db, farm } = context;
	const all = await listPasses(db, period);
	const pieces = await piecesUnder(db, all);
	const passesOf = Map.groupBy(all, ({ fieldId }) => fieldId);
	const reported = await sprayedFigures(db, period);
	const loaded = await loadedFor(context, period);
	const rows: ReportRow[] = [];
	const still: ReportRow[] = [];
	const ended: string[] = [];
	let leftOut = 0;
	for (const row of await listFields(db, seasonOf(period.to, farm.seasonStartMonth), { farmedAfter: period.from })) {
		const { field, boundary, crop } = row;
		const { m2, basis } = loadFor(row);
		const { treatedHa, basicHa, passes } = groundOf(passesOf.get(field.id) ?? [], pieces);
		const reportedM2 = reported.get(field.id) ?? null;
		const mappedHa = field.mappedM2 === null ? null : toHectares(field.mappedM2);
		const measuredHa = boundary ? toHectares(boundary.areaM2) : null;
		const line = {
			field: field.name,
			code: field.code,
			crop: crop?.crop ?? null,
			mappedHa,
			measuredHa,
			differenceHa: mappedHa === null || measuredHa === null ? null : measuredHa - mappedHa,
			loadForHa: m2 === null ? null : toHectares(m2),
			basis,
			loadedForHa: loaded.get(field.id) ?? 0,
			treatedHa,
			basicHa,
			passes,
			reportedHa: reportedM2 === null ? null : toHectares(reportedM2),
		};
		if (saysNothing(line)) {
			leftOut += 1;
			continue;
		}
		rows.push(line);
		if (field.retiredOn !== null && field.retiredOn <= period.to) ended.push(field.name);
		else still.push(line);
	}
	const sums = {
		...totalsOf(still, 'field', ['mappedHa', 'measuredHa', 'loadForHa']),
		...totalsOf(rows, 'field', ['loadedForHa', 'treatedHa']),
	};
	return {
		columns: [
			text('field', 'field'),
			text('code', 'code'),
			text('crop', 'crop'),
			number('mappedHa', 'mapped', 2, ha),
			number('measuredHa', 'measured', 2, ha),
			number('differenceHa', 'measured − mapped', 2, ha),
			number('loadForHa', 'to load for', 2, ha),
			text('basis', 'by', { under: 'loadForHa', usual: 'boundary' }),
			number('loadedForHa', 'loaded for, all passes', 2, ha),
			number('treatedHa', 'treated, all passes', 2, ha),
			number('basicHa', 'treated, each hectare once', 2, ha),
			number('passes', 'treatments', 0),
			number('reportedHa', 'last reported by the sprayer', 2, ha),
		],
		rows,
		totals: rows.length === 0 ? null : { ...sums, basicHa: groundOf(all, pieces).basicHa },
		notes: [
			'Treated ground stands in the records; loaded for is what the logged loads were made up for.',
			...(ended.length > 0
				? [
						`Split or merged by the end of this period: ${ended.join(', ')}. Their ground goes on in other lines; the totals count it once.`,
					]
				: sharedGroundNote(pieces)),
			...(leftOut > 0
				? [
						`Not listed: ${leftOut} ${leftOut === 1 ? 'field' : 'fields'} without an area on the books and without ground loaded for or treated in this period.`,
					]
				: []),
		],
	};
}

/** No area of any kind is on the books, and nothing was loaded for or put on it in the period. */
function saysNothing({ mappedHa, measuredHa, loadForHa, loadedForHa, passes, reportedHa }: AreaLine): boolean {
	const areas = [mappedHa, measuredHa, loadForHa, reportedHa];
	return areas.every((area) => area === null) && loadedForHa === 0 && passes === 0;
}

/** Hectares the logged loads were made up for, by field. A load that was broken off and finished counts once. */
async function loadedFor({ db, farm }: QueryContext, { from, to }: Period): Promise<Map<string, number>> {
	const start = startOfDay(from, farm.zone);
	const end = endOfDay(to, farm.zone);
	const logs = await standingLogs(db, { from: start, to: end });
	const logged = new Set(logs.map(({ jobId, loadNumber }) => `${jobId} ${loadNumber}`));
	const loaded = new Map<string, number>();
	for (const job of (await jobsById(db, new Set(logs.map(({ jobId }) => jobId)))).values()) {
		for (const { load, ground } of planOf(job).loads) {
			if (!logged.has(`${job.id} ${load}`)) continue;
			for (const { fieldId, areaHa } of ground) loaded.set(fieldId, (loaded.get(fieldId) ?? 0) + areaHa);
		}
	}
	return loaded;
}
