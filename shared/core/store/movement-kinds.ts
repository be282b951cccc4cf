/** Why an amount came to a shelf or left it: the kinds of movement in the ledger. */
export const movementKinds = [
	'delivery',
	'opening',
	'load',
	'load reversal',
	'count adjustment',
	'disposal',
	'mix disposal',
	'return',
	'spill',
	'transfer',
	'loan',
	'reversal',
] as const;

export type MovementKind = (typeof movementKinds)[number];
