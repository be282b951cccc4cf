import type { Problem } from '../../basics/problem.ts';
import { ok, type Result, refuse } from '../../basics/result.ts';
import type { Seconds } from '../../units/quantity.ts';
import { type Formulation, type FormulationCoding, formulationOf, meaningIn } from '../products/formulation.ts';
import { type MixCarrier, placeInFertiliser } from './carrier-ranking.ts';
import { honourInstructions, type Instruction } from './label-instructions.ts';
import { type MixKind, type MixPlace, mixPlace, usualWaitS } from './mix-ranking.ts';

export type MixProduct = {
	readonly name: string;
	readonly formulation?: string | undefined;
	readonly kind?: MixKind | undefined;
	readonly waterSolubleBag?: boolean | undefined;
	/** Partners that this product's own label wants in before it. */
	readonly after?: string | readonly string[] | undefined;
	/** Partners that this product's own label wants in after it. */
	readonly before?: string | readonly string[] | undefined;
	/** The coding system this label's letters belong to, where they are ambiguous. */
	readonly coding?: FormulationCoding | undefined;
};

export type MixStep = {
	name: string;
	step: number;
	group: string;
	why: string;
	source: string;
	/** Time to disperse before the next product, where nobody has set one. */
	waitAfterS: Seconds;
};

type Placed = { readonly product: MixProduct; readonly place: MixPlace; readonly waitAfterS: Seconds };

/**
 * The order in which the products of a mix go into the tank, and why.
 *
 * Water-soluble bags, conditioners, dry products, suspensions, emulsions, solutions, adjuvants: by the general order of
 * `mix-ranking.ts`, in liquid fertiliser by that of `carrier-ranking.ts`; within one group as entered. A product's own label instruction wins: the product that carries it is
 * moved, as little as possible, and marked `label`.
 * Refuses an unknown formulation, ambiguous letters (ME, SC, DS) without a coding system, what does not go into a tank,
 * an instruction about a product that is not in the mix, and instructions that contradict each other.
 * An order does not make a mix permitted: each label and the rules for mixes must allow it.
 * Source: see `mix-ranking.ts` and `carrier-ranking.ts`.
 */
export function mixOrder(mix: {
	readonly products: readonly MixProduct[];
	readonly coding?: FormulationCoding | undefined;
	/** What fills the tank; water where nothing is said. */
	readonly carrier?: MixCarrier | undefined;
}): Result<MixStep[]> {
	const unclear = ambiguousLetters(mix.products, mix.coding);
	if (unclear !== null) return { ok: false, problem: unclear };

	const placed: Placed[] = [];
	for (const product of mix.products) {
		const result = placeOf(product, mix.coding);
		if (!result.ok) return result;
		const { place } = result.value;
		placed.push(
			mix.carrier === 'liquid fertiliser' ? { ...result.value, place: placeInFertiliser(place) } : result.value,
		);
	}
	const instructions = instructionsOf(mix.products);
	if (!instructions.ok) return instructions;
	const order = honourInstructions(
		placed.map(({ place }) => place.rank),
		instructions.value,
	);
	if (!order.possible) return refuse('mixOrder.contradiction', contradiction(order.cycle, mix.products));

	return ok(
		order.sequence.flatMap((index, position) => {
			const at = placed[index];
			return at === undefined ? [] : [stepOf(at, position + 1, index, instructions.value, mix.products)];
		}),
	);
}

/** A product whose kind or bag already places it needs no answer about its letters. */
function ambiguousLetters(products: readonly MixProduct[], coding: FormulationCoding | undefined): Problem | null {
	const unclear = products.filter((product) => {
		const placedAnyway = product.kind !== undefined || product.waterSolubleBag === true;
		const formulation = formulationOf(product.formulation ?? '');
		const asks = formulation?.ambiguous !== undefined && formulation.waterSolubleBag !== true;
		return asks && !placedAnyway && (product.coding ?? coding) === undefined;
	});
	const [first] = unclear;
	const formulation = formulationOf(first?.formulation ?? '');
	if (first === undefined || formulation?.ambiguous === undefined) return null;
	const choices = formulation.ambiguous.map((meaning) => ({
		coding: meaning.coding,
		means: meaning.means,
		name: formulationOf(meaning.means)?.name ?? meaning.means,
	}));
	const details = {
		product: first.name,
		formulation: formulation.code,
		choices,
		products: unclear.map(({ name }) => name),
	};
	return { code: 'product.formulationAmbiguous', details };
}

function placeOf(product: MixProduct, coding: FormulationCoding | undefined): Result<Placed> {
	const formulation = settledFormulation(product, coding);
	const kind = product.kind ?? null;
	const waterSolubleBag = product.waterSolubleBag === true || formulation?.waterSolubleBag === true;
	const named = product.formulation !== undefined || (kind === null && !waterSolubleBag);
	if (formulation === null && named) {
		return refuse('product.formulationUnknown', {
			product: product.name,
			formulation: product.formulation ?? '(none)',
		});
	}
	const details = { product: product.name, formulation: formulation?.code ?? '', name: formulation?.name ?? '' };
	const outsideTank = formulation?.tank === 'no' || formulation?.tank === 'seed only';
	if (outsideTank && kind === null) return refuse('mixOrder.notForTank', details);
	const place = mixPlace({ formulation, kind, waterSolubleBag });
	if (place === null) return refuse('mixOrder.notRanked', details);
	return ok({ product, place, waitAfterS: usualWaitS({ formulation, waterSolubleBag }) });
}

function settledFormulation(product: MixProduct, coding: FormulationCoding | undefined): Formulation | null {
	const formulation = formulationOf(product.formulation ?? '');
	const system = product.coding ?? coding;
	return formulation === null || system === undefined ? formulation : meaningIn(formulation, system);
}

/** What the labels of a mix say of one another. */
export function instructionsOf(products: readonly MixProduct[]): Result<Instruction[]> {
	const instructions: Instruction[] = [];
	for (const [owner, product] of products.entries()) {
		for (const relation of ['after', 'before'] as const) {
			for (const partner of namesIn(product[relation])) {
				const found = partnersNamed(partner, owner, products);
				if (found.length === 0) return refuse('mixOrder.unknownPartner', { product: product.name, relation, partner });
				instructions.push(...found.map((other) => ({ owner, relation, other })));
			}
		}
	}
	return ok(instructions);
}

/** Every other product of that name; the product itself only when no other has the name. */
function partnersNamed(name: string, owner: number, products: readonly MixProduct[]): number[] {
	const same = products.flatMap((product, index) => (plain(product.name) === plain(name) ? [index] : []));
	const others = same.filter((index) => index !== owner);
	return others.length > 0 ? others : same;
}

function plain(name: string): string {
	return name.trim().toLowerCase();
}

function namesIn(names: string | readonly string[] | undefined): readonly string[] {
	if (names === undefined) return [];
	return typeof names === 'string' ? [names] : names;
}

/** Instructions that run in a circle, for the refusal. */
export function contradiction(cycle: readonly Instruction[], products: readonly MixProduct[]) {
	const nameOf = (index: number) => products[index]?.name ?? '';
	return {
		instructions: cycle.map(({ owner, relation, other }) => `${nameOf(owner)} ${relation} ${nameOf(other)}`),
		cycle: cycle.map(({ owner }) => nameOf(owner)),
	};
}

function stepOf(
	{ product, place, waitAfterS }: Placed,
	step: number,
	index: number,
	instructions: readonly Instruction[],
	products: readonly MixProduct[],
): MixStep {
	const nameOf = (at: number) => products[at]?.name ?? '';
	const own = instructions.filter(({ owner }) => owner === index);
	const about = instructions.filter(({ owner, other }) => other === index && owner !== index);
	const ownText = own.map(({ relation, other }) => `${relation} ${nameOf(other)}`).join(', ');
	const aboutText = about.map(
		({ owner, relation }) => ` The label of ${nameOf(owner)} wants that one in ${relation} this.`,
	);
	const why = own.length > 0 ? `Its label says ${ownText}. The general order has it with ${place.group}.` : place.why;
	return {
		name: product.name,
		step,
		group: place.group,
		why: why + aboutText.join(''),
		source: own.length > 0 ? 'label' : place.source,
		waitAfterS,
	};
}
