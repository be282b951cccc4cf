import type { RinseWay } from '../../../shared/contract/waste.ts';

/** How containers are rinsed, as people say it. */
export const rinseWays: readonly { readonly value: RinseWay; readonly label: string; readonly detail: string }[] = [
	{
		value: 'by hand three times',
		label: 'By hand, three times',
		detail: 'a quarter full of clean water, shaken, drained',
	},
	{ value: 'pressure', label: 'With a pressure nozzle', detail: 'until it runs clear, then drained' },
	{ value: 'integrated', label: 'By the rinser of the induction bowl', detail: 'then drained' },
	{ value: 'not rinsed', label: 'Not rinsed', detail: 'hazardous waste; keep it apart' },
];
