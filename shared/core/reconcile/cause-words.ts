import { writtenDate } from '../../basics/calendar.ts';
import type { Cause } from './reconciliation.ts';
import type { SeasonBooks, SeasonProduct } from './season-books.ts';
import { amountText, figure, inContainers, listed, packsText, percentText } from './season-words.ts';
import type { WeighedSuspect } from './weigh-suspects.ts';

/** What a cause would mean, with its figures, and where to look first. */
export type CauseWords = { readonly evidence: string; readonly checkNext: string };

type Facts = {
	readonly size: number;
	readonly detail: WeighedSuspect['suspect']['detail'];
	/** Each product with its change of store − tank. */
	readonly amounts: readonly { readonly product: SeasonProduct; readonly amount: number }[];
	/** The first of them. */
	readonly product: SeasonProduct | null;
	readonly amount: number;
	readonly products: string;
	readonly fields: string;
	readonly fieldsHa: number;
	readonly sprayers: string;
	readonly jobs: string;
	readonly jobCount: number;
	readonly unconfirmed: string;
};

/** Puts one suspect into plain words. */
export function causeWords(weighed: WeighedSuspect, books: SeasonBooks): CauseWords {
	return WORDS[weighed.suspect.cause](factsOf(weighed, books));
}

/** What is seen of it, before any cause is named. */
export function findingEvidence(weighed: WeighedSuspect, books: SeasonBooks): string {
	const facts = factsOf(weighed, books);
	const { product, amount, amounts } = facts;
	if (facts.detail.mixL !== null && amounts.length === 0) return causeWords(weighed, books).evidence;
	if (product === null) return causeWords(weighed, books).evidence;
	if (amounts.length === 1) return `${storeAgainstTank(product, amount)}${facts.unconfirmed}`;
	const parts = amounts.map(
		(entry) => `${signText(entry.amount)}${amountText(entry.amount, entry.product.unit)} of ${entry.product.name}`,
	);
	return `Store less tank: ${listed(parts)}.${facts.unconfirmed}`;
}

/** `2.5 L of A left the store and reached no tank: half a 5 L container.` */
export function storeAgainstTank(product: SeasonProduct, amount: number): string {
	const size = nearestSize(product, amount);
	const containers = size === null ? '' : `: ${inContainers(amount, size, product.unit)}`;
	const text = `${amountText(amount, product.unit)} of ${product.name}`;
	if (amount >= 0) return `${text} left the store and reached no tank${containers}.`;
	return `${text} went into tanks and never left the store${containers}.`;
}

const WORDS: { readonly [K in Cause]: (facts: Facts) => CauseWords } = {
	'wrong count': ({ detail, product, amount }) => ({
		evidence: countText(nameOf(product), detail, containersOf(detail, product, amount)),
		checkNext: `Count ${nameOf(product)} again, opened containers on the scales; look for containers outside the store.`,
	}),
	'delivery not booked': ({ detail, product, amount }) => ({
		evidence: `${containersOf(detail, product, amount, true)} of ${nameOf(product)} would have come in without a booking (${detail.when}).`,
		checkNext: `Go through the delivery notes and invoices for ${nameOf(product)}; compare containers full, opened, empty and collected with those booked.`,
	}),
	'delivery booked, not received': ({ detail, product, amount }) => ({
		evidence: `${containersOf(detail, product, amount, true)} of ${nameOf(product)} booked on ${detail.when} would never have come, or be booked twice${
			detail.pointsTo === null ? '; that delivery has no note' : ` (${detail.pointsTo})`
		}.`,
		checkNext: `Compare the delivery of ${nameOf(product)} booked on ${detail.when} with its note and the containers on the shelf.`,
	}),
	'loss not booked': ({ detail, product, amount }) => ({
		evidence: `${containersOf(detail, product, amount, true)} of ${nameOf(product)} would have left the store without a booking (${detail.when}): spilled, lent, disposed of, or sprayed in a job that is not in the books.`,
		checkNext: `Ask who took ${nameOf(product)} from the store; book what was spilled, lent, returned or disposed of.`,
	}),
	measuring: ({ size, products, amounts, unconfirmed }) => ({
		evidence: `${products} would have been measured out ${percentText(size)} ${size > 0 ? 'above' : 'below'} what was logged, in every measured pour (${listed(
			amounts.slice(0, 4).map((entry) => amountText(entry.amount, entry.product.unit)),
		)} in all).${unconfirmed}`,
		checkNext: `Check the jug or scale for ${products} against a known amount, and whether the pours were read at eye level and rinsed out.`,
	}),
	'products mixed up': ({ amounts, detail }) => {
		const [first, second] = amounts;
		const names = [first?.product.name ?? '', second?.product.name ?? ''];
		const text = first === undefined ? '' : amountText(first.amount, first.product.unit);
		const more = (first?.amount ?? 0) > 0 ? names : [...names].reverse();
		return {
			evidence: `${text} more ${more[0]} left the store than was logged, and as much less ${more[1]}${
				detail.pointsTo === null ? '' : `; exchanging the two in ${detail.pointsTo} of ${detail.when} gives just that`
			}.`,
			checkNext: `Compare the labels poured with the log where ${more[0]} and ${more[1]} were used, and the deliveries and counts of the two.`,
		};
	},
	'load not logged': ({ amounts, detail, jobs, size }) => ({
		evidence: `${listed(amounts.map((entry) => `${amountText(entry.amount, entry.product.unit)} of ${entry.product.name}`))} left the store in the proportions of ${
			detail.mixL === null ? 'a load' : `a load of ${figure(detail.mixL * size)} L`
		}${detail.pointsTo === null ? like(jobs) : `; ${detail.pointsTo} of ${jobs} was planned and never logged`}.`,
		checkNext:
			jobs === ''
				? 'Look for a job that was sprayed and is not in the books.'
				: `Ask the operator of ${jobs} (${detail.when}); log the load if it was sprayed.`,
	}),
	'load logged, not sprayed': ({ amounts, detail, jobs }) => ({
		evidence: `${listed(amounts.map((entry) => `${amountText(entry.amount, entry.product.unit)} of ${entry.product.name}`))} would be logged and still be in the store: just what ${detail.pointsTo} of ${jobs} (${detail.when}) holds.`,
		checkNext: `Ask whether ${detail.pointsTo} of ${jobs} was filled; reverse its log if it was not, or if it is logged twice.`,
	}),
	'several loads not logged': ({ size, detail, unconfirmed }) => ({
		evidence: `All counted products left the store in about the same excess, ${percentText(size)}: as if ${amountText(size * (detail.mixL ?? 0), 'L')} of mix had been sprayed and not logged.${unconfirmed}`,
		checkNext:
			'Look for loads, top-ups and whole jobs that are not logged; compare the sprayed area of each job with the area loaded for.',
	}),
	'register area': ({ size, fields, fieldsHa, jobCount, detail }) => ({
		evidence: `In ${jobsText(jobCount)} ${size > 0 ? 'more' : 'less'} ground was covered than was loaded for; ${fields} would be ${percentText(size)} (${figure(Math.abs(size) * fieldsHa)} ha) ${
			size > 0 ? 'larger' : 'smaller'
		} than the register says${detail.pointsTo === null ? '' : `, with ${detail.pointsTo}`}.`,
		checkNext: `Measure ${fields} again, or drive the boundary with a receiver; check which strips were left out and which area the loads were planned for.`,
	}),
	'area counter': ({ size, sprayers, jobCount }) => ({
		evidence: `In ${jobsText(jobCount)} of ${sprayers} the counter shows ${percentText(size)} ${size > 0 ? 'more' : 'less'} than the register, whatever the field.`,
		checkNext: `Drive a measured 100 m with ${sprayers} and compare; check wheel circumference, working width and section control.`,
	}),
	'inlet meter': ({ size, sprayers, jobCount }) => ({
		evidence: `In ${jobsText(jobCount)} of ${sprayers} the inlet meter gave ${percentText(size)} ${size > 0 ? 'more' : 'fewer'} litres than were sprayed.`,
		checkNext: `Fill a known volume (weighbridge, marked container) through the inlet meter of ${sprayers}.`,
	}),
	'controller litres': ({ size, sprayers, jobCount }) => ({
		evidence: `In ${jobsText(jobCount)} the controller of ${sprayers} counted ${percentText(size)} ${size > 0 ? 'fewer' : 'more'} litres than went through the inlet meter.`,
		checkNext: `Catch the nozzles of ${sprayers} for a minute and compare with the litres the controller shows.`,
	}),
	rate: ({ size, sprayers, jobCount }) => ({
		evidence: `In ${jobsText(jobCount)} ${sprayers} put on ${percentText(size)} ${size > 0 ? 'more' : 'less'} per hectare than the spray volume set.`,
		checkNext: `Check pressure, speed and nozzle wear of ${sprayers} with a catch test.`,
	}),
	'one report': ({ size, detail, jobs }) => ({
		evidence: `The ${detail.pointsTo} reported for ${jobs} (${detail.when}) would be ${percentText(size)} off; no other job shows it.`,
		checkNext: `Compare the report of ${jobs} with the terminal and the load log.`,
	}),
};

const ISO_DATE = /\d{4}-\d{2}-\d{2}/g;

function factsOf({ suspect, size }: WeighedSuspect, books: SeasonBooks): Facts {
	const detail = { ...suspect.detail, when: suspect.detail.when?.replace(ISO_DATE, writtenDate) ?? null };
	const amounts = detail.amounts.flatMap(({ productId, amount }) => {
		const product = books.products.find((entry) => entry.productId === productId);
		return product === undefined ? [] : [{ product, amount: amount * size }];
	});
	const jobs = books.jobs.filter((job) => detail.jobIds.includes(job.jobId));
	const fields = new Map(books.jobs.flatMap((job) => job.fields).map((field) => [field.fieldId, field]));
	const named = detail.fieldIds.flatMap((fieldId) => fields.get(fieldId) ?? []);
	const sprayers = new Map(books.jobs.map((job) => [job.sprayerId, job.sprayer]));
	return {
		size,
		detail,
		amounts,
		product: amounts[0]?.product ?? null,
		amount: amounts[0]?.amount ?? 0,
		products: listed(amounts.map(({ product }) => product.name)),
		fields: listed(named.map((field) => field.name)),
		fieldsHa: named.reduce((sum, field) => sum + field.areaHa, 0),
		sprayers: listed(detail.sprayerIds.map((sprayerId) => sprayers.get(sprayerId) ?? sprayerId)),
		jobs: listed(jobs.map((job) => job.name)),
		jobCount: jobs.length,
		unconfirmed: unconfirmedNote(
			amounts.map(({ product }) => product.productId),
			books,
		),
	};
}

/** Amounts taken over from the plan say nothing about what was poured. */
function unconfirmedNote(productIds: readonly string[], books: SeasonBooks): string {
	const lines = books.loads
		.filter((load) => load.logged)
		.flatMap((load) => load.products)
		.filter((line) => productIds.includes(line.productId));
	const open = lines.filter((line) => !line.confirmed).length;
	if (open === 0) return '';
	return open === lines.length
		? ' All amounts were taken over from the plan: they do not show what was poured.'
		: ` ${open} of ${lines.length} amounts were taken over from the plan: they do not show what was poured.`;
}

function containersOf(detail: Facts['detail'], product: SeasonProduct | null, amount: number, atStart = false): string {
	if (product === null) return '';
	const text =
		detail.packs !== null
			? `${packsText(detail.packs.count, detail.packs.size, product.unit)}`
			: amountText(amount, product.unit);
	return atStart ? text.charAt(0).toUpperCase() + text.slice(1) : text;
}

/** With two counts only, one of them too high and the other too low look the same. */
function countText(name: string, { when, pointsTo }: Facts['detail'], off: string): string {
	const [own, other] = when?.split(' or ') ?? [];
	const text = `The count of ${name} on ${own} would be ${off} ${pointsTo}`;
	return other === undefined
		? `${text}.`
		: `${text}, or the one on ${other} as much ${pointsTo === 'too high' ? 'too low' : 'too high'}.`;
}

/** The pack size an amount fits best, the largest of those it fits alike. */
function nearestSize(product: SeasonProduct, amount: number): number | null {
	const sizes = [...product.packSizes].sort((a, b) => b - a);
	const off = (size: number) => Math.abs(Math.abs(amount) / size - Math.round(Math.abs(amount) / size));
	const whole = sizes.find((size) => Math.abs(amount) > size / 2 && off(size) < 0.05);
	return whole ?? sizes.at(-1) ?? null;
}

function nameOf(product: SeasonProduct | null): string {
	return product?.name ?? '';
}

function signText(amount: number): string {
	return amount < 0 ? '−' : '+';
}

function like(jobs: string): string {
	return jobs === '' ? '' : ` of ${jobs}`;
}

function jobsText(count: number): string {
	return count === 1 ? 'one job' : `${count} jobs`;
}
