import type { JobFieldStored, JobProductStored, JobStored } from '../../db/modules/jobs.ts';
import type { FarmRow } from '../../db/modules/settings.ts';
import type { JobSpaceStored } from '../../db/modules/spaces.ts';
import { refuse } from '../../shared/basics/result.ts';
import type { JobPlan } from '../../shared/contract/jobs-plan.ts';
import { findingSentences } from '../../shared/core/limits/finding-sentences.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import type { JobDetails } from './job-details.ts';
import { blocks, type PlanInput, type PlannedJob, warned } from './plan-job.ts';
import { storeInLedger } from './stores.ts';

/** Why a plan is not taken: a limit that blocks, or a warning of a label limit without a reason for going on. */
export function standsAgainst({ limits }: JobPlan, overrideWhy: string | null | undefined) {
	const stopping = blocks(limits);
	if (stopping.length > 0) {
		return refuse('job.blocked', {
			why: findingSentences(stopping, { named: false }).join(' '),
			findings: stopping.map(({ kind, say, source }) => ({ kind, say, source })),
		});
	}
	const [open] = warned(limits);
	return open && !overrideWhy ? refuse('job.reasonNeeded', { why: open.say }) : null;
}

type Of = { readonly id: string; readonly farm: FarmRow; readonly overrideWhy?: string | null | undefined };

/** The rows of a job as it is planned: what `jobs.add` writes and a change of the plan puts in their place. */
export function jobRows(
	{ plan, date, kind, sprayVolumeLPerHa, sprayer, indoors, fields, products }: PlannedJob,
	wanted: PlanInput,
	{ id, farm, overrideWhy }: Of,
): {
	readonly job: Pick<
		JobStored,
		'name' | 'kind' | 'sprayerId' | 'spaceId' | 'sprayDate' | 'sprayVolume' | 'details' | 'plan'
	>;
	readonly fields: JobFieldStored[];
	readonly spaces: JobSpaceStored[];
	readonly products: JobProductStored[];
} {
	const details: JobDetails = {
		customer: wanted.customer ?? null,
		storeId: storeInLedger(farm, wanted.storeId),
		reason: wanted.reason ?? null,
		operator: wanted.operator ?? farm.operator,
		growthStage: wanted.growthStage ?? null,
		nozzle: wanted.nozzle ?? sprayer.nozzle ?? null,
		pressureBar: wanted.pressureBar ?? sprayer.pressureBar ?? null,
		speedKmh: wanted.speedKmh ?? sprayer.speedKmh ?? null,
		boomHeightM: wanted.boomHeightM ?? sprayer.boomHeightM ?? null,
		bufferM: wanted.bufferM ?? null,
		overrideWhy: overrideWhy ?? null,
		doses: Object.fromEntries(products.map(({ product, kept }) => [product.id, kept])),
		seed: wanted.seed ?? null,
		indoors,
	};
	const spaces = indoors?.spaces ?? [];
	const [first, ...others] = spaces;
	const crops = first
		? [others.length > 0 ? `${first.name} and ${others.length} more` : first.name]
		: wanted.seed
			? [`${wanted.seed.crop}, seed`]
			: fields.map(({ row }) => row.crop?.crop ?? null);
	const names = products.map(({ product }) => product.name);
	return {
		job: {
			name: wanted.name ?? nameOf(crops, names),
			kind,
			sprayerId: sprayer.id,
			spaceId: first?.spaceId ?? null,
			sprayDate: date,
			sprayVolume: sprayVolumeLPerHa,
			details: JSON.stringify(details),
			plan: JSON.stringify(plan),
		},
		fields: fields.map(({ row, areaHa, basis }, position) => ({
			jobId: id,
			fieldId: row.field.id,
			position,
			areaM2: toSquareMetres(areaHa),
			areaBasis: basis,
		})),
		spaces: spaces.map(({ spaceId, name }, position) => ({ jobId: id, spaceId, position, name })),
		products: products.map(({ product, dose }, position) => ({ jobId: id, productId: product.id, position, dose })),
	};
}

function nameOf(crops: readonly (string | null)[], products: readonly string[]): string {
	const [crop] = crops;
	const sameCrop = crop && crops.every((other) => other === crop) ? crop : null;
	const named = products.length > 2 ? `${products[0]} and ${products.length - 1} more` : products.join(' + ');
	return (sameCrop ? `${sameCrop}: ${named}` : named).slice(0, 120);
}
