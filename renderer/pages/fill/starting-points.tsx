import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Carrier, Seed } from '../../../shared/contract/jobs-kinds.ts';
import type { Dosed, SaidDose } from '../../../shared/contract/jobs-plan.ts';
import type { PastMix, Recipe } from '../../../shared/contract/recipes.ts';
import type { SpaceUnit } from '../../../shared/core/loads/closed-space.ts';
import { count, figure, shortDate } from '../../format.ts';
import { kindNames } from '../../kind-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { Pick as PickList } from '../../parts/pick.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { carrierDraft, carrierOf, dosed, isSprayed, type PlanDraft } from '../jobs/plan-draft.ts';
import './starting-points.css';
import { useUnits } from '../../units.ts';

/** The mix a plan starts from; what a recipe does not say is left as it is. */
export type StartingPoint = Pick<
	Recipe,
	'kind' | 'sprayVolumeLPerHa' | 'carrier' | 'seedUnit' | 'slurry' | 'spaceUnit'
> & {
	readonly products: readonly { readonly productId: string; readonly dose: SaidDose }[];
} & Partial<Pick<PastMix, 'sprayerId' | 'nozzle' | 'pressureBar' | 'speedKmh' | 'boomHeightM'>>;

/** The part of a plan that a starting point fills in: what it does not know stays as it is. */
export function startOf({
	kind,
	sprayVolumeLPerHa,
	carrier,
	products,
	sprayerId,
	nozzle,
	pressureBar,
	speedKmh,
	boomHeightM,
}: StartingPoint) {
	return {
		kind,
		...(sprayVolumeLPerHa > 0 ? { sprayVolumeLPerHa } : {}),
		...(carrier ? { carrier: carrierDraft(carrier) } : {}),
		products: products.map(({ productId, dose }) => ({ productId, dose: dose.value, unit: dose.unit })),
		...(sprayerId ? { sprayerId } : {}),
		...(nozzle ? { nozzle } : {}),
		...(pressureBar ? { pressureBar } : {}),
		...(speedKmh ? { speedKmh } : {}),
		...(boomHeightM ? { boomHeightM } : {}),
	};
}

type Mix = Pick<PlanDraft, 'kind' | 'sprayVolumeLPerHa' | 'carrier' | 'products'> & {
	readonly seed: Pick<PlanDraft['seed'], 'unit' | 'slurry' | 'slurryUnit'>;
	readonly indoors: Pick<PlanDraft['indoors'], 'unit'>;
};

/** Where a plan may start: a saved recipe, or the mix of one of the last jobs. The mix on the page can be kept as a recipe. */
export function StartingPoints(props: { readonly mix: Mix; readonly onChoose: (start: StartingPoint) => void }) {
	const units = useUnits();
	const starts = useProcedure(['recipes'], (api) => api.recipes.list({}));
	const [keeping, setKeeping] = useState(false);
	const { recipes = [], lastJobs = [] } = starts.answer ?? {};
	const wanted = wholeMix(props.mix);
	if (starts.problem) return <ProblemNotice problem={starts.problem} />;
	if (recipes.length + lastJobs.length === 0 && !wanted) return null;
	const choose = (value: string | null) => {
		const recipe = recipes.find(({ id }) => id === value);
		const job = lastJobs.find(({ jobId }) => jobId === value);
		if (recipe) props.onChoose(recipe);
		if (job) props.onChoose(job);
	};
	return (
		<div className="row low starting-points">
			{recipes.length + lastJobs.length > 0 && (
				<PickList
					label="Start from"
					placeholder="a recipe or an earlier job"
					value={null}
					onChange={choose}
					options={[
						...recipes.map((recipe) => ({
							value: recipe.id,
							label: `${recipe.name} · ${units.say(mixWords(recipe))}`,
						})),
						...lastJobs.map((job) => ({
							value: job.jobId,
							label: `${job.name}, ${shortDate(job.on)} · ${units.say(mixWords(job))}`,
						})),
					]}
				/>
			)}
			<Button variant="subtle" disabled={!wanted && recipes.length === 0} onClick={() => setKeeping(true)}>
				Recipes
			</Button>
			<Dialog title="Recipes" opened={keeping} onClose={() => setKeeping(false)}>
				<RecipeList recipes={recipes} />
				{wanted && <KeepRecipe mix={wanted} onKept={() => setKeeping(false)} />}
			</Dialog>
		</div>
	);
}

function mixWords({ kind, sprayVolumeLPerHa, carrier, products }: Omit<StartingPoint, 'sprayerId'>): string {
	const several = count(products.length, 'product');
	if (kind === 'spray in water') return `${several}, ${figure(sprayVolumeLPerHa)} L/ha`;
	const volume = sprayVolumeLPerHa > 0 ? `, ${figure(sprayVolumeLPerHa)} L/ha` : '';
	return `${kindNames[kind]}${carrier?.name ? ` (${carrier.name})` : ''}, ${several}${volume}`;
}

type WholeMix = {
	readonly kind: PlanDraft['kind'];
	readonly sprayVolumeLPerHa?: number;
	readonly carrier?: Carrier;
	readonly seedUnit?: 'kg' | 'unit';
	readonly slurry?: NonNullable<Seed['slurry']>;
	readonly spaceUnit?: SpaceUnit;
	readonly products: readonly Dosed[];
};

/** The mix on the page once every figure of it is there. */
function wholeMix({ kind, sprayVolumeLPerHa, carrier, seed, indoors, products }: Mix): WholeMix | null {
	const doses = products.flatMap(dosed);
	if (doses.length === 0 || doses.length < products.length) return null;
	if (kind === 'seed treatment') {
		const { unit, slurry, slurryUnit } = seed;
		return {
			kind,
			seedUnit: unit,
			...(slurry === null ? {} : { slurry: { value: slurry, unit: slurryUnit } }),
			products: doses,
		};
	}
	if (kind === 'closed space') return { kind, spaceUnit: indoors.unit, products: doses };
	if (!isSprayed(kind)) return { kind, products: doses };
	if (!sprayVolumeLPerHa) return null;
	if (kind === 'spray in water') return { kind, sprayVolumeLPerHa, products: doses };
	const fertiliser = carrierOf(carrier);
	return fertiliser && { kind, sprayVolumeLPerHa, carrier: fertiliser, products: doses };
}

function KeepRecipe({ mix, onKept }: { readonly mix: WholeMix; readonly onKept: () => void }) {
	const [name, setName] = useState('');
	const save = useCommand(
		(api, wanted: string, key) => api.recipes.save({ key, ...mix, name: wanted, products: [...mix.products] }),
		onKept,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(name.trim())}
			foot={
				<Button type="submit" loading={save.busy}>
					Keep this mix
				</Button>
			}
		>
			<TextInput
				label="Keep the mix on the page as"
				description="A recipe of the same name is replaced"
				required
				maxLength={200}
				data-autofocus
				value={name}
				onChange={(event) => setName(event.currentTarget.value)}
			/>
		</EntryForm>
	);
}

function RecipeList({ recipes }: { readonly recipes: readonly Recipe[] }) {
	const units = useUnits();
	const remove = useCommand((api, id: string, key) => api.recipes.remove({ key, id }));
	if (recipes.length === 0) return null;
	return (
		<>
			<h2>Kept so far</h2>
			<ul className="plain-list recipe-list">
				{recipes.map((recipe) => (
					<li key={recipe.id} className="row spread">
						<span>
							{recipe.name} <span className="quiet">{units.say(mixWords(recipe))}</span>
						</span>
						<Button
							size="compact-sm"
							variant="subtle"
							loading={remove.busy}
							aria-label={`Take ${recipe.name} off the list`}
							onClick={() => remove.run(recipe.id)}
						>
							Take off
						</Button>
					</li>
				))}
			</ul>
			<ProblemNotice problem={remove.problem} />
		</>
	);
}
