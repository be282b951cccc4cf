import type { Store } from '../../shared/contract/store-list.ts';

/** The invented store: where it stands, whom to ring, and what a walk through it passes. Its floor is sunk by a good 20 cm. */
export const demoStore: Pick<Store, 'place' | 'contacts' | 'bundL' | 'sensitive' | 'plan'> = {
	place: 'Thornmere, north side of the yard, steel door beside the workshop',
	contacts: 'A. Marsh, in the yard: 0000 100 200\nJ. Wren, office: 0000 100 201\nFire service: the emergency number',
	bundL: 13_500,
	sensitive: false,
	plan: {
		widthM: 9,
		depthM: 7.2,
		parts: [
			{ kind: 'bund', label: 'bund', xM: 0.1, yM: 0.1, widthM: 8.8, depthM: 7 },
			{ kind: 'shelf', label: 'Dry shelf', xM: 0.3, yM: 0.4, widthM: 2.4, depthM: 0.6 },
			{ kind: 'shelf', label: 'Shelf 1', xM: 3.2, yM: 0.4, widthM: 2.4, depthM: 0.6 },
			{ kind: 'shelf', label: 'Shelf 2', xM: 6.1, yM: 0.4, widthM: 2.4, depthM: 0.6 },
			{ kind: 'shelf', label: 'Fertiliser bay', xM: 0.3, yM: 2.4, widthM: 4.6, depthM: 3.4 },
			{ kind: 'shelf', label: 'Pallet', xM: 6.1, yM: 2.4, widthM: 1.4, depthM: 1.2 },
			{ kind: 'shelf', label: 'Shelf 3', xM: 0.3, yM: 6.4, widthM: 2.4, depthM: 0.6 },
			{ kind: 'door', label: '', xM: 6.2, yM: 7, widthM: 1.4, depthM: 0.2 },
			{ kind: 'spill kit', label: '', xM: 8, yM: 5.6, widthM: 0.7, depthM: 0.7 },
			{ kind: 'extinguisher', label: '', xM: 8, yM: 3.4, widthM: 0.9, depthM: 0.5 },
		],
	},
};
