import type { LoadsRequest, ProductToLoad } from '../../../../../shared/core/loads/loads-request.ts';

/** Jobs of 1 to `mostLoads` loads with the round figures a label, a tank and a can have. Same seed, same jobs. */
export function randomJob(random: () => number, mostLoads: number, mostProducts: number): LoadsRequest {
	const pick = <T>(...choices: readonly T[]): T => choices[Math.floor(random() * choices.length)] as T;
	const capacityL = pick(800, 1200, 2000, 3000, 4000);
	const sprayVolumeLPerHa = pick(80, 100, 150, 187.5, 200);
	const unsprayableL = pick(0, 0, 15, 40);
	const most = (capacityL - unsprayableL) / sprayVolumeLPerHa;
	const areaHa = Math.round(most * mostLoads * (0.05 + 0.949 * random()) * 100) / 100;
	const measureStep = pick(0.01, 0.05, 0.1, 0.25);
	return {
		areaHa,
		sprayVolumeLPerHa,
		strategy: 'whole containers',
		tank: {
			capacityL,
			minimumL: pick(0, 0.1, 0.3, 0.6) * capacityL,
			unsprayableL,
			leftInTankL: pick(0, 0, 0, Math.round(random() * capacityL * 0.4)),
			leftIsSameMix: true,
		},
		products: Array.from({ length: 1 + Math.floor(random() * mostProducts) }, (_, index): ProductToLoad => {
			const pack = pick(1, 3, 5, 10, 15, 20);
			return {
				name: `P${index + 1}`,
				formulation: 'SC',
				unit: 'L',
				dosePerHa: pick(0.2, 0.25, 0.4, 0.5, 0.75, 0.8, 1, 1.25, 1.5, 2, 3),
				packSizes: [pack],
				openedPack: pick(0, 0, Math.round(random() * pack * 10) / 10),
			};
		}),
		measureStep,
	};
}
