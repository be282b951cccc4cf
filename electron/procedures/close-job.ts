import type { z } from 'zod';
import { addMeasurement } from '../../db/modules/fields.ts';
import { findJob, jobFields, saveJob } from '../../db/modules/jobs.ts';
import { type Result, refuse } from '../../shared/basics/result.ts';
import type { Job, jobsContract } from '../../shared/contract/jobs.ts';
import { toSquareMetres } from '../../shared/units/area.ts';
import type { CommandContext } from './handler.ts';
import type { JobClosing } from './job-details.ts';
import { jobById } from './jobs.ts';

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
		note: input.note ?? null,
	};
	await saveJob(tx, { ...job, closing: JSON.stringify(closing) });
	note({
		table: 'job',
		id: job.id,
		before: null,
		after: { ...closing, fields: said, withOverlap: input.withOverlap ?? null },
	});
	// With ground still to go it is no measurement of a field.
	if (closing.ranOutHa || job.kind === 'seed treatment') return jobById(tx, farm, input.id);
	for (const { fieldId, sprayedHa: areaHa } of ofFields(said, fieldIds, sprayedHa)) {
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
