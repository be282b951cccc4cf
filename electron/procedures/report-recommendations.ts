import { type RecommendationFollowed, recommendationsOfPeriod } from '../../db/modules/recommendations.ts';
import { daysPastRecommendation } from '../../db/modules/records.ts';
import { writtenDate } from '../../shared/basics/calendar.ts';
import type { ReportRow } from '../../shared/contract/season.ts';
import type { Deviation } from '../../shared/core/recommendations/deviations.ts';
import type { QueryContext } from './handler.ts';
import type { RecommendationDetails } from './recommendations.ts';
import { date, once, type Period, type ReportTable, text } from './report-table.ts';

/** Each recommendation given in the period, or followed in it, with the jobs planned from it and where they departed. */
export async function recommendationReport({ db }: QueryContext, period: Period): Promise<ReportTable> {
	const late = await daysPastRecommendation(db, period);
	const rows = (await recommendationsOfPeriod(db, period)).map((each): ReportRow => {
		const apart = [
			...(JSON.parse(each.deviations ?? '[]') as Deviation[]).map(({ say }) => say),
			...(late.get(each.jobId ?? '') ?? []).map((day) => `Sprayed on ${writtenDate(day)}, when it no longer held.`),
		];
		const departs = apart.length > 0 ? apart.join(' ') : 'followed';
		return {
			...given(each),
			job: each.job,
			sprayDate: each.sprayDate,
			deviations: each.jobId === null ? null : departs,
		};
	});
	return {
		columns: [
			date('givenOn', 'given', once),
			date('validUntil', 'holds until', { under: 'givenOn' }),
			text('adviser', 'adviser', once),
			text('certificateNo', 'certificate no.', { under: 'adviser', bare: true }),
			text('reference', 'sheet', { under: 'adviser' }),
			text('ground', 'for', once),
			text('products', 'recommended', once),
			text('withdrawn', 'withdrawn', once),
			text('job', 'job'),
			date('sprayDate', 'spray date', { under: 'job' }),
			text('deviations', 'departs'),
		],
		rows,
		totals: null,
		notes: ['Where a job departs is reckoned when it is planned; a day after the end of validity when it was sprayed.'],
	};
}

function given(each: RecommendationFollowed): ReportRow {
	const { crop, fields, products, sprayVolumeLPerHa } = JSON.parse(each.details) as RecommendationDetails;
	const water = sprayVolumeLPerHa === null ? '' : ` in ${sprayVolumeLPerHa} L/ha`;
	return {
		givenOn: each.givenOn,
		validUntil: each.validUntil,
		adviser: each.adviser,
		certificateNo: each.certificateNo,
		reference: each.reference,
		ground: fields.length > 0 ? fields.map(({ name }) => name).join(', ') : `all ${crop}`,
		products: products.map(({ name, dosePerHa, unit }) => `${dosePerHa} ${unit}/ha ${name}`).join(', ') + water,
		withdrawn: each.withdrawnWhy,
	};
}
