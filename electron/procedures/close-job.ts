import type { z } from 'zod';
import { addMeasurement } from '../../db/modules/fields.ts';
import { findJob, jobFields, saveJob } from '../../db/modules/jobs.ts';
import { listWashings, standingWashings } from '../../db/modules/washings.ts';
import { type Result, refuse } from '../../shared/basics/result.ts';
import type { Job, jobsContract } from '../../shared/contract/jobs.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import type { CommandContext } from './handler.ts';
import type { JobClosing } from './job-details.ts';
import { jobById } from './jobs.ts';
import { detailsOfWashings } from './washings.ts';

type CloseInput = z.output<(typeof jobsContract.close)['~orpc']['inputSchema'] & z.ZodType>;
type OnField = { readonly fieldId: string; readonly sprayedHa: number };

/** Ends a job with what the sprayer itself says. What it says of one field goes to that field's measurements. */
export async function closeJob(context: CommandContext, input: CloseInput): Promise<Result<Job>> {
	const { tx, farm, now, newId, note, signedBy } = context;
	const found = await findJob(tx, input.id);
	if (!found) return refuse('not.found', { what: 'job', id: input.id });
	const { job } = found;
	if (job.closing) return refuse('job.closed', { id: input.id });
	if (input.by) signedBy(input.by);
	const fieldIds = (await jobFields(tx, [job.id])).map(({ line }) => line.fieldId);
	const said = input.fields ?? [];
	const trouble = troubleWith(said, fieldIds);
	if (trouble) return refuse('input.invalid', { path: 'fields', why: trouble });
	const ofAll = said.length === fieldIds.length ? said.reduce((sum, { sprayedHa }) => sum + sprayedHa, 0) : null;
	const sprayedHa = input.sprayedHa ?? (said.length > 0 ? ofAll : null);
	const closing: JobClosing = {
		sprayedHa,
		...(said.length > 0 ? { fields: said } : {}),
		...(input.withOverlap === undefined ? {} : { withOverlap: input.withOverlap }),
		controllerL: input.controllerL ?? null,
		leftL: input.leftL ?? null,
		ranOutHa: input.ranOutHa ?? null,
		washings: input.washings ?? null,
		note: input.note ?? null,
	};
	const wrong = washingsAboveReadings(closing);
	if (wrong) return wrong;
	await saveJob(tx, { ...job, closing: JSON.stringify(closing) });
	note({
		table: 'job',
		id: job.id,
		before: null,
		after: { ...closing, fields: said, withOverlap: input.withOverlap ?? null },
	});
	// With ground still to go it is no measurement of a field.
	if (closing.ranOutHa || job.kind === 'seed treatment') return jobById(tx, farm, input.id);
	const washedHa = await washedByField(context, closing, fieldIds, job.id);
	for (const { fieldId, sprayedHa: readHa } of ofFields(said, fieldIds, sprayedHa)) {
		const areaHa = readHa - (washedHa.get(fieldId) ?? 0);
		if (areaHa <= 0) continue;
		await addMeasurement(tx, {
			id: newId(),
			fieldId,
			kind: 'sprayed',
			areaM2: toSquareMetres(areaHa),
			sigmaM2: null,
			takenOn: job.sprayDate,
			source: `sprayed area reported at the end of ${job.name}`,
			jobId: job.id,
			createdAt: now,
			...(closing.withOverlap === undefined ? {} : { withOverlap: closing.withOverlap ? 1 : 0 }),
		});
	}
	return jobById(tx, farm, input.id);
}

function washingsAboveReadings({ sprayedHa, controllerL, washings }: JobClosing) {
	const above = (read: number | null, washed: number) => read !== null && washed > read;
	if (above(controllerL, washings?.litres ?? 0)) {
		return refuse('input.invalid', { path: 'washings.litres', why: 'more washings than litres were sprayed in all' });
	}
	if (above(sprayedHa, washings?.areaHa ?? 0)) {
		return refuse('input.invalid', { path: 'washings.areaHa', why: 'washings on more ground than was sprayed in all' });
	}
	return null;
}

/** Hectares of washings within what was read of each field: where there are several, by what was logged. */
async function washedByField(
	{ tx }: CommandContext,
	{ washings }: JobClosing,
	fieldIds: readonly string[],
	jobId: string,
): Promise<ReadonlyMap<string, number>> {
	const [only] = fieldIds;
	if (!washings || only === undefined) return new Map();
	if (fieldIds.length === 1) return new Map([[only, washings.areaHa]]);
	const logged = standingWashings(await listWashings(tx, { jobId })).flatMap((row) => detailsOfWashings(row).fields);
	const byField = Map.groupBy(logged, ({ fieldId }) => fieldId);
	return new Map([...byField].map(([id, parts]) => [id, parts.reduce((sum, { areaHa }) => sum + areaHa, 0)]));
}

function troubleWith(said: readonly OnField[], fieldIds: readonly string[]): string | null {
	if (new Set(said.map(({ fieldId }) => fieldId)).size < said.length) return 'a field is named twice';
	return said.every(({ fieldId }) => fieldIds.includes(fieldId)) ? null : 'the job has no such field';
}

/** What was said of single fields; of a job with one field the whole is that. */
function ofFields(said: readonly OnField[], fieldIds: readonly string[], sprayedHa: number | null): readonly OnField[] {
	const [only] = fieldIds;
	if (said.length > 0 || sprayedHa === null || only === undefined || fieldIds.length > 1) return said;
	return [{ fieldId: only, sprayedHa }];
}
