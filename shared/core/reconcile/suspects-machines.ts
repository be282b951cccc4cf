import type { JobReading } from './job-ratios.ts';
import type { Cause } from './reconciliation.ts';
import type { SeasonBooks, SeasonJob } from './season-books.ts';
import { fieldShares, type SeasonEvidence } from './season-evidence.ts';
import { effectOf, NO_DETAIL, rowAt, type Suspect } from './suspect.ts';

/** How far an area, a meter or a rate may be off. Assumption. */
const RATIO_SPREAD = 0.05;
/** How far a figure that was misread or mistyped may be off. Assumption. */
const MISREAD_SPREAD = 0.2;
/** Chance beforehand that the register is off in all fields alike (another reference system, another unit). Assumption. */
const WHOLE_REGISTER = 0.4;

type Row = { readonly reading: JobReading; readonly row: number };

/** What can go wrong with areas, meters and rates, as the jobs' reports show it. */
export function machineSuspects(evidence: SeasonEvidence, books: SeasonBooks): Suspect[] {
	const rows = evidence.readings.map((reading, index) => ({ reading, row: evidence.readingRow + index }));
	const sprayerIds = [...new Set(books.jobs.map((job) => job.sprayerId))];
	return [
		...registerAreas(evidence, books, rows),
		...sprayerIds.flatMap((sprayerId) => ofSprayer(books, rows, [sprayerId], 1 / sprayerIds.length)),
		...(sprayerIds.length > 1 ? sharedMeter(books, rows, sprayerIds) : []),
		...oneReport(books, rows),
	];
}

/**
 * A register area is too small (size above zero) or too large: the sprayer covers more than was loaded for. Topping up
 * may have gone unlogged; then the products show it too.
 */
function registerAreas(evidence: SeasonEvidence, books: SeasonBooks, rows: readonly Row[]): Suspect[] {
	const fieldIds = [...new Set(books.jobs.flatMap((job) => job.fields.map((field) => field.fieldId)))];
	const single = fieldIds.map((fieldId) => ({ who: fieldId, ids: [fieldId], share: 1 / fieldIds.length }));
	const all = { who: 'every field', ids: fieldIds, share: WHOLE_REGISTER };
	const groups =
		fieldIds.length > 1
			? [all, ...single.map((group) => ({ ...group, share: (1 - WHOLE_REGISTER) * group.share }))]
			: single;
	return groups.flatMap(({ who, ids, share }): Suspect[] => {
		const shareOf = new Map(books.jobs.map((job) => [job.jobId, shareOfFields(job, ids)]));
		const areas = rows
			.filter(({ reading }) => reading.holds.area)
			.map(({ reading, row }) => [row, shareOf.get(reading.jobId) ?? 0] as const)
			.filter(([, value]) => value > 0);
		const poured = pouredOn(evidence, books, shareOf);
		const common = {
			cause: 'register area',
			who,
			likely: 0,
			spread: RATIO_SPREAD,
			onlyAboveZero: false,
		} as const;
		const detail = {
			...NO_DETAIL,
			mixL: mixOf(books, (job) => shareOf.get(job.jobId) ?? 0),
			relative: true,
			fieldIds: ids,
			jobIds: books.jobs.filter((job) => (shareOf.get(job.jobId) ?? 0) > 0).map((job) => job.jobId),
		};
		const seen: Suspect = { ...common, share: share / 2, effect: effectOf(areas), tested: 'by itself', detail };
		const unlogged: Suspect = {
			...common,
			share: share / 2,
			effect: effectOf([...areas, ...poured.rows]),
			tested: who === all.who ? 'by itself' : 'never',
			detail: { ...detail, amounts: poured.amounts, pointsTo: 'topping up that was not logged' },
		};
		return [
			...(areas.length > 0 ? [seen] : []),
			...(poured.rows.length > 0 && (areas.length > 0 || who === all.who) ? [unlogged] : []),
		];
	});
}

/** Counter, meter, controller and rate of one sprayer, each in the rows that hold it. */
function ofSprayer(books: SeasonBooks, rows: readonly Row[], sprayerIds: readonly string[], share: number): Suspect[] {
	const own = rows.filter(({ reading }) => sprayerIds.includes(reading.sprayerId));
	const where = (holds: (reading: JobReading) => boolean, sign: 1 | -1) =>
		own.filter(({ reading }) => holds(reading)).map(({ row }) => [row, sign] as const);
	const counter = where(({ holds, byCounter }) => holds.area && byCounter, 1);
	const rateByCounter = where(({ holds, byCounter }) => holds.rate && byCounter, -1);
	const meter = where(({ holds }) => holds.meter, 1);
	const controller = where(({ holds }) => holds.meter && !holds.rate, 1);
	const shown = controller.length > 0 ? where(({ holds }) => holds.rate && !holds.meter, -1) : [];
	const rate = where(({ holds }) => holds.rate, 1);
	const detail = {
		...NO_DETAIL,
		mixL: mixOf(books, (job) => (sprayerIds.includes(job.sprayerId) ? 1 : 0)),
		relative: true,
		sprayerIds,
		jobIds: [...new Set(own.map(({ reading }) => reading.jobId))],
	};
	const suspect = (
		cause: Cause,
		part: number,
		entries: readonly (readonly [number, number])[],
		tested: Suspect['tested'] = 'by itself',
	): Suspect => ({
		cause,
		who: sprayerIds.join('+'),
		share: share * part,
		effect: effectOf(entries),
		likely: 0,
		spread: RATIO_SPREAD,
		onlyAboveZero: false,
		tested,
		detail,
	});
	// A controller that holds the rate by its own readings hides its error from them; one that only shows does not.
	return [
		suspect('area counter', 0.5, counter),
		suspect('area counter', 0.5, counter.length > 0 ? [...counter, ...rateByCounter] : [], 'never'),
		suspect('inlet meter', 1, meter),
		suspect('controller litres', 0.5, controller),
		suspect('controller litres', 0.5, controller.length > 0 ? [...controller, ...shown] : [], 'never'),
		suspect('rate', 1, rate),
	].filter(({ effect }) => effect.size > 0);
}

/** One meter in the yard that fills every sprayer. */
function sharedMeter(books: SeasonBooks, rows: readonly Row[], sprayerIds: readonly string[]): Suspect[] {
	return ofSprayer(books, rows, sprayerIds, 1).filter(({ cause }) => cause === 'inlet meter');
}

/** One figure at the end of one job was misread or mistyped. */
function oneReport(books: SeasonBooks, rows: readonly Row[]): Suspect[] {
	return books.jobs.flatMap((job) => {
		const own = rows.filter(({ reading }) => reading.jobId === job.jobId);
		const area = own.filter(({ reading }) => reading.holds.area && reading.byCounter);
		const rate = own.filter(({ reading }) => reading.holds.rate && !reading.holds.meter);
		const meter = own.filter(({ reading }) => reading.holds.meter);
		const figures = [
			{ name: 'sprayed area', entries: [...signed(area, 1), ...(area.length > 0 ? signed(rate, -1) : [])] },
			{ name: 'controller litres', entries: rate.length > 0 ? [...signed(meter, -1), ...signed(rate, 1)] : [] },
			{ name: 'mix left or metered water', entries: signed(meter, 1) },
		].filter(({ entries }) => entries.length > 0);
		return figures.map(({ name, entries }) => ({
			cause: 'one report' as const,
			who: job.jobId,
			share: 1 / books.jobs.length / figures.length,
			effect: effectOf(entries),
			likely: 0,
			spread: MISREAD_SPREAD,
			onlyAboveZero: false,
			tested: 'when gross',
			detail: {
				...NO_DETAIL,
				mixL: job.areaLoadedForHa * job.sprayVolumeLPerHa,
				relative: true,
				jobIds: [job.jobId],
				sprayerIds: [job.sprayerId],
				when: job.date,
				pointsTo: name,
			},
		}));
	});
}

function signed(rows: readonly Row[], sign: 1 | -1): (readonly [number, number])[] {
	return rows.map(({ row }) => [row, sign] as const);
}

function shareOfFields(job: SeasonJob, fieldIds: readonly string[]): number {
	const shares = fieldShares(job);
	return fieldIds.reduce((sum, fieldId) => sum + (shares.get(fieldId) ?? 0), 0);
}

function mixOf(books: SeasonBooks, shareOf: (job: SeasonJob) => number): number {
	return books.jobs.reduce((sum, job) => sum + job.areaLoadedForHa * job.sprayVolumeLPerHa * shareOf(job), 0);
}

/** What was poured for some fields, by product row and by product. */
function pouredOn(
	evidence: SeasonEvidence,
	books: SeasonBooks,
	shareOf: ReadonlyMap<string, number>,
): { rows: (readonly [number, number])[]; amounts: { productId: string; amount: number }[] } {
	const rows: (readonly [number, number])[] = [];
	const amounts = new Map<string, number>();
	for (const load of books.loads.filter((entry) => entry.logged)) {
		const share = shareOf.get(load.jobId) ?? 0;
		if (share === 0) continue;
		for (const { productId, poured } of load.products) {
			const row = rowAt(evidence, productId, load.at);
			if (row === null) continue;
			rows.push([row, share * poured]);
			amounts.set(productId, share * poured + (amounts.get(productId) ?? 0));
		}
	}
	return { rows, amounts: [...amounts].map(([productId, amount]) => ({ productId, amount })) };
}
