import { doseOf, type SaidDose, sayDose } from '../loads/dose-units.ts';
import { checkLimits } from './check-limits.ts';
import {
	type AppliedProduct,
	type Begun,
	exceeds,
	type Finding,
	figure,
	type Ground,
	type Limit,
	type LimitKind,
	type Treatment,
} from './limit.ts';

/** What holds for a standing crop, for open ground or for a spray over it means nothing under a roof. */
const notInSpaces: readonly LimitKind[] = ['stage', 'sprayVolume', 'buffer', 'site', 'livestock', 'followingCrop'];
/** Given for ground, or for a crop that still grows: what it comes to in a closed space nobody knows. */
const unknownInSpaces: readonly LimitKind[] = ['totalDose', 'activeSubstance', 'harvestInterval', 'flowering'];

export type SpaceProduct = Omit<AppliedProduct, 'dosePerHa'> & {
	readonly dose: SaidDose;
	readonly limits: readonly Limit[];
};

export type SpaceApplication = {
	readonly spaceId: string;
	/** Every designation of what is stored or grown in it; empty: it is empty. */
	readonly holds: readonly string[];
	/** What it is while it is empty. */
	readonly situation: string;
	readonly date: string;
	readonly begun?: readonly Begun[] | undefined;
	readonly season: Ground['season'];
	readonly products: readonly SpaceProduct[];
	/** Every other treatment of the same space, planned ones included. */
	readonly history: readonly Treatment[];
};

/**
 * Holds one treatment of a closed space against the limits of its products.
 *
 * Crops, number of treatments, days between them, time of day, re-entry, dates, partners and mode of action count as on
 * ground, with the space in place of the field. A single dose counts where the label gives it in a unit of the same way
 * (`doseUnit`). What a label gives per hectare or until harvest is `unknown`; what means nothing under a roof is not
 * among the findings. A list of crops that does not name an empty space asks: labels call such places by many names.
 */
export function checkSpaceLimits(application: SpaceApplication): Finding[] {
	const { spaceId, holds, situation, season, products } = application;
	const counted = checkLimits({
		ground: {
			fieldId: spaceId,
			crop: holds.length > 0 ? holds : [situation],
			cropFrom: null,
			cropTo: null,
			season,
			growthStage: null,
			harvestOn: null,
			bufferM: null,
		},
		date: application.date,
		begun: application.begun,
		sprayVolumeLPerHa: null,
		products: products.map((product) => ({
			...product,
			dosePerHa: 0,
			limits: product.limits.filter(({ kind }) => kind !== 'singleDose' && !unknownInSpaces.includes(kind)),
		})),
		history: application.history,
		rules: [],
	});
	return counted.flatMap((finding): Finding[] => {
		const product = products.find(({ productId }) => productId === finding.productId);
		if (!product || notInSpaces.includes(finding.kind)) return [];
		const limits = product.limits.filter(({ kind }) => kind === finding.kind);
		if (finding.kind === 'singleDose') {
			return limits.length > 0 ? limits.map((limit) => doseFinding(finding, product, limit)) : [finding];
		}
		if (unknownInSpaces.includes(finding.kind) && limits.length > 0) {
			return limits.map((limit) => ({ ...finding, source: limit.source, say: NOT_FOR_SPACES }));
		}
		const asks = finding.kind === 'crop' && finding.verdict === 'block' && holds.length === 0;
		return [asks ? { ...finding, verdict: 'ask' } : finding];
	});
}

const NOT_FOR_SPACES =
	'This limit is given for ground or for a crop in the field; what it means in a closed space is not known here. Read the label.';

/** The dose against one single dose of the label. */
function doseFinding(finding: Finding, { dose, unit }: SpaceProduct, limit: Limit): Finding {
	const { min, max, doseUnit, source, fromMemory } = limit;
	const applied = doseOf(dose);
	const same = doseUnit !== undefined && doseOf({ value: 0, unit: doseUnit }).way === applied.way;
	if (!same || (min === undefined && max === undefined)) {
		const given = doseUnit ?? `${unit}/ha`;
		const say = `The label’s dose on the books is given in ${given}, and this one is in ${dose.unit}: they cannot be held against each other. Read the label.`;
		return { ...finding, source, say };
	}
	const { value } = sayDose(applied, unit, doseUnit);
	const above = max !== undefined && exceeds(value, max);
	const below = min !== undefined && exceeds(min, value);
	const range = [min, max].flatMap((edge) => (edge === undefined ? [] : [figure(edge)])).join('–');
	const say = `The dose is ${figure(value)} ${doseUnit}; the label allows ${max === undefined ? 'at least ' : ''}${range} ${doseUnit}.`;
	return {
		...finding,
		verdict: above ? (fromMemory ? 'warn' : 'block') : below ? 'warn' : 'ok',
		limit: (below ? min : (max ?? min)) ?? null,
		value,
		unit: doseUnit,
		source,
		say: fromMemory ? `${say} This limit was entered from memory: check the label.` : say,
	};
}
