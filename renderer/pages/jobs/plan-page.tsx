import { Button } from '@mantine/core';
import { useLocation } from 'wouter';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { Product } from '../../../shared/contract/products.ts';
import type { Settings } from '../../../shared/contract/settings.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type ApplicationKind, needsTank } from '../../../shared/core/loads/application-kind.ts';
import { unitsInUse } from '../../../shared/core/loads/dose-units.ts';
import { today } from '../../format.ts';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { type StartingPoint, StartingPoints, startOf } from '../fill/starting-points.tsx';
import { TankBefore } from '../fill/tank-before.tsx';
import { DeviationList, StartFromRecommendation, useStartFrom } from '../recommendations/follows.tsx';
import type { RecommendedPlan } from '../recommendations/recommendation-words.ts';
import type { IndoorsDraft } from './indoors-draft.ts';
import { NothingToPlanWith } from './nothing-to-plan-with.tsx';
import {
	countedIn,
	doseUnitsFor,
	draftOf,
	newPlan,
	type PlanDraft,
	type PlanRequest,
	requestOf,
	type SeedDraft,
	stillNeeded,
	withoutDoses,
} from './plan-draft.ts';
import { PlanGround } from './plan-ground.tsx';
import { PlanHow } from './plan-how.tsx';
import { asKind, PlanCarrier, PlanKind, PlanSeed } from './plan-kind.tsx';
import { PlanPreview } from './plan-preview.tsx';
import { PlanProducts } from './plan-products.tsx';
import { PlanSpaces } from './plan-spaces.tsx';
import { useKept } from './use-kept.ts';
import { usePlanPreview } from './use-plan-preview.ts';
import { useRefocus } from './use-refocus.ts';

/** Plans a job: ground and products at the left, the loads that follow from them at the right, at once. */
export function PlanPage({ id, from }: { readonly id?: string; readonly from?: string | undefined }) {
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const sprayers = useProcedure(['sprayers'], (api) => api.sprayers.list({}));
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({}));
	const job = useProcedure(['jobs', id ?? ''], (api) => api.jobs.get({ id: id ?? '' }), { enabled: id !== undefined });
	const title = id === undefined ? 'Plan a job' : 'Change the plan';
	const unready = [fields, products, sprayers, settings, jobs, ...(id === undefined ? [] : [job])].find(
		({ answer }) => answer === undefined,
	);
	if (unready || !fields.answer || !products.answer || !sprayers.answer || !settings.answer || !jobs.answer) {
		return (
			<Page title={title}>
				<section>
					<PageHead title={title} />
					{unready && <Answered<unknown> asked={unready}>{() => null}</Answered>}
				</section>
			</Page>
		);
	}
	if (fields.answer.length === 0 || products.answer.length === 0 || sprayers.answer.length === 0) {
		return (
			<Page title="Plan a job">
				<section>
					<PageHead title="Plan a job" />
					<NothingToPlanWith />
				</section>
			</Page>
		);
	}
	return (
		<Planning
			fields={fields.answer}
			products={products.answer}
			sprayers={sprayers.answer}
			settings={settings.answer}
			lastSprayer={jobs.answer[0]?.sprayer}
			from={from}
			job={id === undefined ? undefined : job.answer}
		/>
	);
}

type Books = {
	readonly fields: readonly FieldRow[];
	readonly products: readonly Product[];
	readonly sprayers: readonly Sprayer[];
	readonly settings: Settings;
	/** Name of the sprayer of the newest job. */
	readonly lastSprayer: string | undefined;
	/** The recommendation the page was opened with. */
	readonly from: string | undefined;
	/** The saved job whose plan is changed. */
	readonly job: Job | undefined;
};

function Planning({ fields, products, sprayers, settings, lastSprayer, from, job }: Books) {
	const [, go] = useLocation();
	const [draft, change, forget] = useKept<PlanDraft>(job ? `plan ${job.id} ${job.version}` : 'plan', () =>
		job ? draftOf(job, fields) : newPlan({ sprayers, lastSprayer, operator: settings.operator ?? '', date: today() }),
	);
	const set = (part: Partial<PlanDraft>) => change((now) => ({ ...now, ...part }));
	useStartFrom(from, fields, set);
	const request = requestOf(draft, fields);
	const preview = usePlanPreview(
		'preview',
		request && job ? { ...request, forJob: job.id } : request,
		(api, wanted, signal) => api.jobs.preview(wanted, { signal }),
	);
	const save = useCommand(
		async (api, wanted: PlanRequest, key) => {
			const why = draft.overrideWhy.trim();
			const asked = { key, ...wanted, ...(why === '' ? {} : { overrideWhy: why }) };
			const saved = job
				? await api.jobs.change({ ...asked, id: job.id, version: job.version })
				: await api.jobs.add(asked);
			return saved.id;
		},
		(saved) => {
			forget();
			go(`/jobs/${saved}`);
		},
	);
	const saveButton = useRefocus(save.busy);
	const stopped = preview.plan.answer?.limits.some(({ verdict }) => verdict === 'block') ?? false;
	return (
		<form
			className="page plan-page"
			onSubmit={(event) => {
				event.preventDefault();
				if (request && !stopped) save.run(request);
			}}
		>
			<section>
				<PageHead
					title={job ? 'Change the plan' : 'Plan a job'}
					under={job && `${job.name} · the plan so far stays in its history`}
				>
					<Button variant="subtle" onClick={forget}>
						{job ? 'As it was' : 'Start afresh'}
					</Button>
				</PageHead>
				<PlanKind draft={draft} sprayers={sprayers} products={products} onChange={set} />
				<div className="start-from">
					<StartingPoints
						mix={draft}
						onChoose={(start) => change((now) => startedFrom(now, start, { sprayers, products }))}
					/>
					{!job && (
						<StartFromRecommendation
							chosen={draft.recommendationId}
							fields={fields}
							onChoose={(plan) => change((now) => onRecommendation(now, plan, products))}
							onLeave={() => set({ recommendationId: null })}
						/>
					)}
				</div>
				{draft.recommendationId !== null && <DeviationList deviations={preview.plan.answer?.deviations} />}
				{draft.kind === 'seed treatment' && (
					<PlanSeed seed={draft.seed} onChange={(part) => change((now) => withSeed(now, part, products))} />
				)}
				{draft.kind === 'closed space' ? (
					<PlanSpaces indoors={draft.indoors} onChange={(part) => change((now) => withIndoors(now, part, products))} />
				) : (
					<PlanGround
						heading={groundHeadings[draft.kind]}
						rows={fields}
						lines={draft.fields}
						onChange={(by) => change((now) => ({ ...now, fields: by(now.fields) }))}
					/>
				)}
				<PlanProducts
					products={products}
					unitsOf={(unit) => unitsInUse(doseUnitsFor(draft, unit), { american: settings.ruleSet.startsWith('us-') })}
					lines={draft.products}
					totals={request ? preview.plan.answer?.totals.products : undefined}
					loads={request ? preview.plan.answer?.loads : undefined}
					storeId={draft.storeId}
					onChange={(by) => change((now) => ({ ...now, products: by(now.products) }))}
				/>
				{needsTank(draft.kind) && (
					<TankBefore
						sprayerId={draft.sprayerId}
						fieldIds={draft.fields.map(({ fieldId }) => fieldId)}
						productIds={draft.products.map(({ productId }) => productId)}
						date={draft.date}
					/>
				)}
				{draft.kind === 'spray in liquid fertiliser' && (
					<PlanCarrier
						carrier={draft.carrier}
						products={products}
						onChange={(part) => change((now) => ({ ...now, carrier: { ...now.carrier, ...part } }))}
					/>
				)}
				<PlanHow draft={draft} sprayers={sprayers} onChange={set} />
			</section>
			<section aria-label="The loads that follow" className="plan-live">
				<div>
					<PlanPreview
						asked={preview.plan}
						recommended={preview.recommended}
						wanted={draft.strategy}
						needed={stillNeeded(draft, fields)}
						seedUnit={draft.seed.unit}
						why={draft.overrideWhy}
						onWhy={(overrideWhy) => set({ overrideWhy })}
						onStrategy={(strategy) => set({ strategy: strategy === preview.recommended ? null : strategy })}
					/>
					<ProblemNotice problem={save.problem} />
					<div className="form-foot">
						{stopped && (
							<p className="quiet small foot-word">A label limit stops it: change ground, products, doses or day.</p>
						)}
						<Button variant="default" onClick={() => go(job ? `/jobs/${job.id}` : '/jobs')}>
							Leave it
						</Button>
						<Button ref={saveButton} type="submit" loading={save.busy} disabled={request === null || stopped}>
							{job ? 'Save the changed plan' : 'Save the job'}
						</Button>
					</div>
				</div>
			</section>
		</form>
	);
}

const groundHeadings: Readonly<Record<Exclude<ApplicationKind, 'closed space'>, string>> = {
	'spray in water': 'Ground, in the order it is sprayed',
	'spray in liquid fertiliser': 'Ground, in the order it is sprayed',
	'neat liquid': 'Ground, in the order it is sprayed',
	granules: 'Ground, in the order it is spread',
	'seed treatment': 'Where it is to be sown, as far as known',
};

type Known = { readonly sprayers: readonly Sprayer[]; readonly products: readonly Product[] };

/** The plan begun from a recipe or an earlier job, with a machine that can bring it out. */
function startedFrom(draft: PlanDraft, start: StartingPoint, known: Known): PlanDraft {
	const seed = start.seedUnit ? { ...draft.seed, ...countedIn(start.seedUnit, start.slurry) } : draft.seed;
	const indoors = start.spaceUnit ? { ...draft.indoors, unit: start.spaceUnit } : draft.indoors;
	return { ...draft, ...asKind(draft, start.kind, known), seed, indoors, ...startOf(start) };
}

/** The plan begun from a recommendation. It speaks of hectares: how much that is on seed or in a store the label says. */
function onRecommendation(draft: PlanDraft, plan: RecommendedPlan, products: readonly Product[]): PlanDraft {
	const begun = { ...draft, ...plan };
	return draft.kind === 'seed treatment' || draft.kind === 'closed space' ? withoutDoses(begun, products) : begun;
}

/** Seed counted another way has its doses in other units. */
function withSeed(draft: PlanDraft, part: Partial<SeedDraft>, products: readonly Product[]): PlanDraft {
	const seed = { ...draft.seed, ...part };
	if (seed.unit === draft.seed.unit) return { ...draft, seed };
	return withoutDoses({ ...draft, seed: { ...seed, ...countedIn(seed.unit) } }, products);
}

/** What a dose in a closed space is for decides its units. */
function withIndoors(draft: PlanDraft, part: Partial<IndoorsDraft>, products: readonly Product[]): PlanDraft {
	const indoors = { ...draft.indoors, ...part };
	return indoors.unit === draft.indoors.unit ? { ...draft, indoors } : withoutDoses({ ...draft, indoors }, products);
}
