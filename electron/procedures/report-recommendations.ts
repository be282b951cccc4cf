import { listJobs } from '../../db/modules/jobs.ts';
import { jobRecommendations } from '../../db/modules/recommendations.ts';
import { listRecords } from '../../db/modules/records.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { Recommendation } from '../../shared/contract/recommendations.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import type { Deviation } from '../../shared/core/recommendations/deviations.ts';
import type { QueryContext } from './handler.ts';
import { listAllRecommendations } from './recommendations.ts';
import { date, type Period, type ReportTable, text } from './report-table.ts';

/** Each recommendation given in the period, or followed in it, with the jobs planned from it and where they departed. */
export async function recommendationReport(context: QueryContext, { from, to }: Period): Promise<ReportTable> {
	const { db } = context;
	const all = await listAllRecommendations(context);
	const links = [...(await jobRecommendations(db)).values()];
	const followed = Map.groupBy(links, ({ recommendationId }) => recommendationId);
	const jobs = new Map((await listJobs(db)).map(({ job }) => [job.id, job]));
	const sprayed = new Map<string, Set<string>>();
	for (const { jobId } of links)
		sprayed.set(jobId, new Set((await listRecords(db, { jobId })).map(({ sprayDate }) => sprayDate)));
	const within = (day: string) => day >= from && day <= to;
	const rows = (all.ok ? all.value : []).toReversed().flatMap((each): ReportRow[] => {
		const lines = (followed.get(each.id) ?? []).flatMap((link): ReportRow[] => {
			const job = jobs.get(link.jobId);
			if (!job || !within(job.sprayDate)) return [];
			const late = [...(sprayed.get(job.id) ?? [])].filter((day) => day > each.validUntil);
			const apart = [
				...(JSON.parse(link.deviations) as Deviation[]).map(({ say }) => say),
				...late.map((day) => `Sprayed on ${writtenDate(day)}, when it no longer held.`),
			];
			return [
				{
					...given(each),
					job: job.name,
					sprayDate: job.sprayDate,
					deviations: apart.length > 0 ? apart.join(' ') : 'followed',
				},
			];
		});
		if (lines.length > 0) return lines;
		return within(each.givenOn) ? [{ ...given(each), job: null, sprayDate: null, deviations: null }] : [];
	});
	return {
		columns: [
			date('givenOn', 'given'),
			date('validUntil', 'holds until', { under: 'givenOn' }),
			text('adviser', 'adviser'),
			text('certificateNo', 'certificate no.', { under: 'adviser' }),
			text('reference', 'sheet', { under: 'adviser' }),
			text('ground', 'for'),
			text('products', 'recommended'),
			text('withdrawn', 'withdrawn'),
			text('job', 'job'),
			date('sprayDate', 'spray date', { under: 'job' }),
			text('deviations', 'departs'),
		],
		rows,
		totals: null,
		notes: ['Where a job departs is reckoned when it is planned; a day after the end of validity when it was sprayed.'],
	};
}

function given(each: Recommendation): ReportRow {
	const water = each.sprayVolumeLPerHa === null ? '' : ` in ${each.sprayVolumeLPerHa} L/ha`;
	return {
		givenOn: each.givenOn,
		validUntil: each.validUntil,
		adviser: each.adviser,
		certificateNo: each.certificateNo,
		reference: each.reference,
		ground: each.fields.length > 0 ? each.fields.map(({ name }) => name).join(', ') : `all ${each.crop}`,
		products: each.products.map(({ name, dosePerHa, unit }) => `${name} ${dosePerHa} ${unit}/ha`).join(', ') + water,
		withdrawn: each.withdrawn?.why ?? null,
	};
}
