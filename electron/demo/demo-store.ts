import type { Store } from '../../shared/contract/store-list.ts';

/** The invented store: where it stands, whom to ring, and what a walk through it passes. */
export const demoStore: Pick<Store, 'place' | 'contacts' | 'bundL' | 'sensitive' | 'plan'> = {
	place: 'Thornmere, north side of the yard, steel door beside the workshop',
	contacts: 'A. Marsh, in the yard: 0000 100 200\nJ. Wren, office: 0000 100 201\nFire service: the emergency number',
	bundL: 1300,
	sensitive: false,
	plan: {
		widthM: 6,
		depthM: 3.6,
		parts: [
			{ kind: 'bund', label: 'bund', xM: 0.1, yM: 0.1, widthM: 5.8, depthM: 3.4 },
			{ kind: 'shelf', label: 'Dry shelf', xM: 0.2, yM: 0.5, widthM: 2.2, depthM: 0.6 },
			{ kind: 'shelf', label: 'Shelf 1', xM: 2.6, yM: 0.5, widthM: 2.2, depthM: 0.6 },
			{ kind: 'shelf', label: 'Shelf 2', xM: 5.1, yM: 0.5, widthM: 0.6, depthM: 1.8 },
			{ kind: 'shelf', label: 'Shelf 3', xM: 0.2, yM: 2.7, widthM: 2.2, depthM: 0.6 },
			{ kind: 'shelf', label: 'Pallet', xM: 2.8, yM: 2.2, widthM: 1.2, depthM: 1 },
			{ kind: 'door', label: '', xM: 4.4, yM: 3.4, widthM: 1.1, depthM: 0.2 },
			{ kind: 'spill kit', label: '', xM: 5.1, yM: 2.6, widthM: 0.6, depthM: 0.6 },
			{ kind: 'extinguisher', label: '', xM: 0.2, yM: 1.6, widthM: 0.9, depthM: 0.5 },
		],
	},
};
