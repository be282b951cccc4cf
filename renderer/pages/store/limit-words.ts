import { writtenDay } from '../../../shared/basics/calendar.ts';
import type { LabelLimit } from '../../../shared/contract/products.ts';
import { writtenCrop } from '../../../shared/core/crops/eppo-crop.ts';
import { hoursOf } from '../../../shared/core/limits/time-limits.ts';
import { longDate } from '../../format.ts';

type Entry =
	| 'doseUnit'
	| 'crop'
	| 'crops'
	| 'min'
	| 'max'
	| 'per'
	| 'years'
	| 'substance'
	| 'group'
	| 'partner'
	| 'condition'
	| 'margin'
	| 'reducible'
	| 'from'
	| 'to';
type Kind = LabelLimit['kind'];

/** Each kind of limit in the words of a label, with the entries it needs and the unit they are in. */
export const limitKinds: Readonly<
	Record<
		Kind,
		{
			readonly label: string;
			/** How its sentence begins, where not with its name. */
			readonly says?: string;
			readonly entries: readonly Entry[];
			readonly unit: string;
			/** Its figures are hours of the day. */
			readonly hours?: true;
			/** It means something without a figure. */
			readonly plain?: true;
			/** Its dates are those of every year. */
			readonly yearly?: true;
		}
	>
> = {
	crop: { label: 'Crops allowed', entries: ['crops'], unit: '' },
	singleDose: { label: 'Single dose', entries: ['max', 'min', 'doseUnit', 'crop'], unit: '{unit}/ha' },
	totalDose: { label: 'Total dose', entries: ['max', 'per', 'years', 'crop'], unit: '{unit}/ha' },
	treatments: { label: 'Number of treatments', entries: ['max', 'per', 'years', 'crop'], unit: '' },
	interval: { label: 'Days between treatments', entries: ['min', 'crop'], unit: 'days' },
	stage: { label: 'Growth stage (BBCH)', entries: ['min', 'max', 'crop'], unit: 'BBCH' },
	timeOfDay: { label: 'Time of day it may begin', entries: ['min', 'max', 'crop'], unit: '', hours: true },
	flowering: {
		label: 'In flower',
		says: 'Not where crop or weeds are in flower',
		entries: ['min', 'max', 'crop'],
		unit: '',
		hours: true,
		plain: true,
	},
	harvestInterval: { label: 'Harvest interval', entries: ['min', 'crop'], unit: 'days' },
	sprayVolume: { label: 'Spray volume', entries: ['min', 'max', 'crop'], unit: 'L/ha' },
	buffer: { label: 'Buffer', entries: ['margin', 'min', 'reducible'], unit: 'm' },
	site: {
		label: 'Kind of ground',
		says: 'Not on this ground:',
		entries: ['condition', 'from', 'to', 'crop'],
		unit: '',
		plain: true,
		yearly: true,
	},
	reentry: { label: 'Re-entry interval', entries: ['min'], unit: 'h' },
	livestock: { label: 'Livestock kept off', entries: ['min', 'crop'], unit: 'days' },
	authorisation: { label: 'Authorised dates', entries: ['from', 'to'], unit: '' },
	activeSubstance: { label: 'Active substance in all', entries: ['substance', 'max', 'per', 'years'], unit: 'g/ha' },
	modeOfAction: { label: 'Mode-of-action group', entries: ['group', 'max', 'per', 'years'], unit: 'treatments' },
	followingCrop: { label: 'Wait before the next crop', entries: ['crops', 'min', 'crop'], unit: 'days' },
	mixPartner: { label: 'Not to be mixed with', entries: ['partner'], unit: '' },
};

/** The unit of a limit's figures for a product sold by this unit. */
export function limitUnit(kind: Kind, productUnit: string): string {
	return limitKinds[kind].unit.replace('{unit}', productUnit);
}

function figureWords({ min, max }: LabelLimit, unit: string): string[] {
	if (min !== undefined && max !== undefined) return [`${min} to ${max} ${unit}`];
	return [min === undefined ? '' : `at least ${min} ${unit}`, max === undefined ? '' : `at most ${max} ${unit}`];
}

function hourWords(limit: LabelLimit): string {
	const hours = hoursOf(limit);
	if (hours === null) return '';
	return limit.kind === 'flowering' ? `, but ${hours.words}` : hours.words;
}

/** What a distance protects. */
export const marginWord = { water: 'Water', hedge: 'Hedges', other: 'Another margin' } as const;

function bufferWord({ margin = 'water' }: LabelLimit): string {
	return margin === 'other' ? 'Buffer to a protected margin' : `Buffer to ${marginWord[margin].toLowerCase()}`;
}

/** A limit as a sentence: `Total dose at most 2.5 L/ha per crop in Winter wheat (TRZAW)`. */
export function limitWords(limit: LabelLimit, productUnit: string): string {
	const unit = limit.doseUnit ?? limitUnit(limit.kind, productUnit);
	const { label, says = label, hours, yearly } = limitKinds[limit.kind];
	const day = yearly ? writtenDay : longDate;
	const parts = [
		limit.substance
			? `${limit.substance} from all products together`
			: limit.kind === 'buffer'
				? bufferWord(limit)
				: says,
		limit.group ?? limit.partner ?? limit.condition ?? limit.crops?.map(writtenCrop).join(', ') ?? '',
		...(hours ? [hourWords(limit)] : figureWords(limit, unit)),
		limit.from === undefined ? '' : `from ${day(limit.from)}`,
		limit.to === undefined ? '' : `to ${day(limit.to)}`,
		limit.per === undefined ? '' : `per ${limit.per === 'years' ? `${limit.years ?? '?'} years` : limit.per}`,
		limit.crop === undefined ? '' : `in ${writtenCrop(limit.crop)}`,
		limit.reducible === undefined ? '' : limit.reducible ? ', less after an assessment' : ', not to be reduced',
	];
	return parts
		.map((part) => part.trim())
		.filter((part) => part !== '')
		.join(' ')
		.replace(' ,', ',');
}
