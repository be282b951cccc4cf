import { writtenAs } from '../crops/eppo-crop.ts';
import { buffer } from './buffer.ts';
import { flowering } from './flowering.ts';
import { followingCrop } from './following-crop.ts';
import {
	type Check,
	type Finding,
	type Limit,
	type LimitKind,
	labelKinds,
	type Outcome,
	type PlannedApplication,
	type PlannedProduct,
	speaksOfCrop,
} from './limit.ts';
import { site } from './site.ts';
import { activeSubstance, concerns, modeOfAction, nutrient, totalDose, treatments } from './sum-limits.ts';
import { authorisation, harvestInterval, interval, livestock, reentry, stage, timeOfDay } from './time-limits.ts';
import { crop, mixPartner, singleDose, sprayVolume } from './use-limits.ts';

const checks: Readonly<Record<LimitKind, (check: Check) => Outcome>> = {
	crop,
	singleDose,
	totalDose,
	treatments,
	interval,
	stage,
	timeOfDay,
	flowering,
	harvestInterval,
	sprayVolume,
	buffer,
	site,
	reentry,
	livestock,
	authorisation,
	activeSubstance,
	modeOfAction,
	mixPartner,
	followingCrop,
	nutrient,
};

/**
 * Holds one planned application on one piece of ground against every limit of its products, and the rules beside them.
 *
 * Doses count on the treated ground: part of a field at full dose is a full dose there. Treatments that may have been on
 * other ground of the field ask, they do not block. Per product every kind of limit is answered: one that nobody filled
 * in is `unknown`, never `ok`. A limit entered from memory, or set to warn, never blocks.
 * Answers findings by product, in the order of the kinds; rules last. Refuses nothing: what is missing is a finding.
 * Source: fixed columns of an authorised use, Ctgb *guide to legal use tables*, 2013; resistance rules, FRAC; further
 * sources stand with each limit.
 */
export function checkLimits(application: PlannedApplication): Finding[] {
	const products = application.products.filter(
		({ productId }, index, all) => all.findIndex((other) => other.productId === productId) === index,
	);
	const ofProducts = products.flatMap((product) =>
		labelKinds.flatMap((kind) => findingsOf(kind, product, application)),
	);
	const ofRules = application.rules
		.filter((rule) => appliesToCrop(rule, application) && touchesMix(rule, application))
		.map((limit) => finding({ limit, application, product: null }));
	return [...ofProducts, ...ofRules];
}

function findingsOf(kind: LimitKind, product: PlannedProduct, application: PlannedApplication): Finding[] {
	const limits = product.limits.filter(
		(limit) => limit.kind === kind && (kind === 'crop' || appliesToCrop(limit, application)),
	);
	const [only] = limits;
	if (only === undefined) return [notFilledIn(kind, product, application)];
	const allowed = kind === 'crop' ? [{ ...only, crops: limits.flatMap(cropsOf) }] : limits;
	return allowed.map((limit) => finding({ limit, application, product }));
}

/** Several crop lines of one label are one list. */
function cropsOf({ crops, crop: single }: Limit): readonly string[] {
	return crops ?? (single === undefined ? [] : [single]);
}

/** A limit for one crop does not speak about another; with the crop unknown it still does. */
export function appliesToCrop(limit: Limit, { ground }: PlannedApplication): boolean {
	return speaksOfCrop(limit, ground.crop);
}

/** A rule about a substance, group or nutrient that is not in this mix has nothing to say. */
function touchesMix(limit: Limit, application: PlannedApplication): boolean {
	if ([limit.substance, limit.group, limit.nutrient].every((name) => name === undefined)) return true;
	return application.products.some((product) => concerns({ limit, application, product }, product));
}

function finding(check: Check): Finding {
	const { limit, application, product } = check;
	const outcome = checks[limit.kind](check);
	const softened = (limit.fromMemory || limit.warnsOnly) && outcome.verdict === 'block';
	const lookUp = product === null ? 'look it up' : 'check the label';
	return {
		fieldId: application.ground.fieldId,
		...(product === null ? {} : { productId: product.productId }),
		kind: limit.kind,
		verdict: softened ? 'warn' : outcome.verdict,
		limit: outcome.limit,
		value: outcome.value,
		unit: outcome.unit,
		records: [...(outcome.records ?? [])],
		source: limit.source,
		say: limit.fromMemory ? `${outcome.say} This limit was entered from memory: ${lookUp}.` : outcome.say,
	};
}

function notFilledIn(kind: LimitKind, product: PlannedProduct, { ground }: PlannedApplication): Finding {
	return {
		fieldId: ground.fieldId,
		productId: product.productId,
		kind,
		verdict: 'unknown',
		limit: null,
		value: null,
		unit: null,
		records: [],
		source: 'not on the books',
		say: `No limit of this kind is on the books for ${product.name}${ground.crop.length === 0 ? '' : ` in ${writtenAs(ground.crop)}`}. Check the label.`,
	};
}
