import type { StorePlan } from '../core/store/store-plan.ts';

/** What the papers of the store show; made by the program, drawn by the page. */
export type CountSheet = {
	readonly farm: string;
	/** Empty where the farm has one store. */
	readonly store: string;
	readonly madeAt: string;
	readonly freezeAt: string | null;
	readonly withBook: boolean;
	readonly lines: readonly {
		readonly place: string;
		readonly name: string;
		readonly formulation: string;
		readonly unit: 'L' | 'kg';
		readonly sizes: readonly number[];
		/** Null on a blind sheet. */
		readonly book: number | null;
	}[];
};

export type EmergencyList = {
	readonly farm: string;
	readonly madeAt: string;
	/** A page each. */
	readonly stores: readonly EmergencyPage[];
};

export type EmergencyPage = {
	/** Empty where the farm has one store. */
	readonly store: string;
	readonly place: string;
	readonly contacts: string;
	readonly storedL: number;
	readonly bundL: number | null;
	readonly plan: StorePlan | null;
	/** A picture of the building as a data URL; printed where nobody drew a plan. */
	readonly planPicture: string | null;
	readonly lines: readonly {
		readonly name: string;
		readonly formulation: string;
		readonly unit: 'L' | 'kg';
		readonly amount: number;
		readonly containers: string;
		readonly actives: string;
		/** Where it stands; empty where nobody said. */
		readonly place: string;
		readonly hazards: readonly string[];
	}[];
};
