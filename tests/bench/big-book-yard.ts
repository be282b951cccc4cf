import { type BigField, type Insert, MICRO, type Product } from './big-book-store.ts';

const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
/** Jobs of one recommendation; of so many jobs one had an incident, one was rinsed out after, one cleaned after filling. */
const FOLLOWED = 10;
const INCIDENT_EVERY = 20;
const CLEANED_EVERY = 4;
const people = { who: 'A. Marsh', user_id: 'local', device_id: 'local' };

type JobDone = {
	readonly jobId: string;
	readonly sprayerId: string;
	readonly at: number;
	/** First day of the pass, and which of its jobs this is. */
	readonly passAt: number;
	readonly group: number;
	readonly ground: readonly BigField[];
	readonly mix: readonly Product[];
};

/** What a big book keeps of the yard: recommendations with the jobs that follow them, cleanings, incidents. */
export class BigYard {
	readonly #insert: Insert;
	readonly #farmId: string;
	readonly #newId: () => string;
	#recommendation = '';

	constructor(insert: Insert, { farmId, newId }: { readonly farmId: string; readonly newId: () => string }) {
		this.#insert = insert;
		this.#farmId = farmId;
		this.#newId = newId;
	}

	/** Jobs of a pass come in the order of their groups. */
	note(job: JobDone): void {
		if (job.group % FOLLOWED === 0) this.#recommend(job);
		const late = job.group % FOLLOWED === 3;
		const deviations = late ? [{ kind: 'dose', say: 'Less of one product was planned than recommended.' }] : [];
		this.#insert('job_recommendation', {
			job_id: job.jobId,
			recommendation_id: this.#recommendation,
			deviations: JSON.stringify(deviations),
		});
		if (job.group % CLEANED_EVERY === 0) this.#rinseOut(job);
		if (job.group % CLEANED_EVERY === 1) this.#cleanDown(job);
		if (job.group % INCIDENT_EVERY === 2) this.#spill(job);
	}

	/** Holds twelve days: the last jobs of a pass come too late. */
	#recommend({ passAt, ground, mix }: JobDone): void {
		this.#recommendation = this.#newId();
		this.#insert('recommendation', {
			id: this.#recommendation,
			farm_id: this.#farmId,
			adviser: 'M. Fairley',
			certificate_no: 'ADV-2207',
			reference: null,
			given_on: day(passAt - 3 * DAY_MS),
			valid_until: day(passAt + 9 * DAY_MS),
			details: JSON.stringify({
				crop: 'Winter wheat',
				fields: ground.map(({ fieldId, name }) => ({ fieldId, name })),
				products: mix.map(({ id, name, formulation, unit, dose }) => ({
					productId: id,
					name,
					formulation,
					unit,
					dosePerHa: dose,
				})),
				sprayVolumeLPerHa: 150,
				growthStage: '31',
				reason: 'weeds',
				note: null,
			}),
			written_at: passAt - 3 * DAY_MS,
			...people,
		});
	}

	#rinseOut(job: JobDone): void {
		const details = { residualL: 20, rinsesL: [200, 200, 200], factor: 1331, washings: 'onto the field', note: null };
		this.#clean(job, { kind: 'sprayer rinsed out', at: job.at + 6 * HOUR_MS, job_id: null, details });
	}

	#cleanDown(job: JobDone): void {
		const details = { tasks: ['hopper rinsed', 'outside washed', 'gloves washed'] };
		const at = job.at + HOUR_MS;
		this.#clean(job, { kind: 'after filling', at, job_id: job.jobId, load_number: 1, details });
	}

	#clean(
		{ sprayerId }: JobDone,
		{ details, at, ...row }: { kind: string; at: number; job_id: string | null; load_number?: number; details: object },
	): void {
		this.#insert('cleaning', {
			id: this.#newId(),
			farm_id: this.#farmId,
			sprayer_id: sprayerId,
			load_number: null,
			at,
			details: JSON.stringify(details),
			posted_at: at,
			...row,
			...people,
		});
	}

	/** Logged at once, completed an hour later. */
	#spill({ jobId, at, mix }: JobDone): void {
		const incidentId = this.#newId();
		for (const seq of [1, 2]) {
			this.#insert('incident_entry', {
				id: this.#newId(),
				incident_id: incidentId,
				seq,
				farm_id: this.#farmId,
				job_id: jobId,
				load_number: 1,
				kind: 'spill',
				happened_at: at,
				product_id: mix[0]?.id ?? null,
				amount: MICRO / 2,
				mix_l: null,
				went_to: seq === 1 ? null : 'yard drain, bunded',
				done: seq === 1 ? null : 'soaked up and bagged',
				told: seq === 1 ? null : 'nobody outside the farm',
				written_at: at + seq * HOUR_MS,
				...people,
			});
		}
	}
}

function day(at: number): string {
	return new Date(at).toISOString().slice(0, 10);
}
