/** The units figures are read in on screens and paper. Inside, on the wire and in records everything stays metric. */
export const displayUnits = ['metric', 'US customary'] as const;
export type DisplayUnits = (typeof displayUnits)[number];

/** What the farm chose, else what its rule set is usually read in. */
export function displayUnitsOf(farm: {
	readonly displayUnits: DisplayUnits | null;
	readonly ruleSet: string;
}): DisplayUnits {
	return farm.displayUnits ?? usualUnits(farm.ruleSet);
}

/** US labels, meters and jugs read in US customary units; everywhere else they are metric. */
export function usualUnits(ruleSet: string): DisplayUnits {
	return ruleSet.startsWith('us-') ? 'US customary' : 'metric';
}
