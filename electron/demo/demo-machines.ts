import { addDays } from '../../shared/basics/calendar.ts';

/** Who sprays on the demonstration farm, with what, and in which store. All of it is invented. */

type Need = <Output>(name: string, input: object) => Promise<Output>;

export async function certifiedOperator(need: Need, name: string, today: string): Promise<void> {
	await need('settings.addOperator', {
		key: 'demo-operator-1',
		name,
		certificateNo: 'SP-40718',
		// Late next month, so that the farm is reminded of it; the same all month, as the key wants it.
		certificateUntil: addDays(`${today.slice(0, 7)}-28`, 30),
	});
}

export type Machines = {
	readonly sprayerId: string;
	readonly applicatorId: string;
	readonly handSprayerId: string;
	readonly treaterId: string;
	/** The grain barn. */
	readonly spaceId: string;
};

export async function machines(need: Need, season: number): Promise<Machines> {
	const { id: spaceId } = await need<{ id: string }>('spaces.add', {
		key: 'demo-space-1',
		name: 'Grain barn',
		kind: 'grain store',
		place: 'Thornmere yard, behind the workshop',
		floorM2: 640,
		volumeM3: 3800,
	});
	const { id: sprayerId } = await need<{ id: string }>('sprayers.add', {
		key: 'demo-sprayer-1',
		name: 'Trailed, 24 m',
		capacityL: 4000,
		minimumL: 400,
		unsprayableL: 0,
		boomWidthM: 24,
		nozzle: '04 flat fan, 50 % drift reduction',
		driftReduction: 50,
		pressureBar: 2.5,
		speedKmh: 11,
		boomHeightM: 0.5,
		inflowLPerMin: 260,
		testedOn: `${season - 1}-02-11`,
		testDueOn: `${season + 2}-02-11`,
	});
	await need('sprayers.add', {
		key: 'demo-sprayer-2',
		name: 'Mounted, 12 m',
		capacityL: 1000,
		minimumL: 120,
		boomWidthM: 12,
		inflowLPerMin: 120,
		nozzle: '03 flat fan',
	});
	const { id: applicatorId } = await need<{ id: string }>('sprayers.add', {
		key: 'demo-applicator',
		name: 'Pellet spreader, 24 m',
		kind: 'granule applicator',
		hopperKg: 200,
		boomWidthM: 24,
		speedKmh: 12,
	});
	const { id: handSprayerId } = await need<{ id: string }>('sprayers.add', {
		key: 'demo-hand-sprayer',
		name: 'Knapsack, 15 L',
		kind: 'indoor applicator',
		capacityL: 15,
	});
	const { id: treaterId } = await need<{ id: string }>('sprayers.add', {
		key: 'demo-treater',
		name: 'Batch treater',
		kind: 'seed treater',
		hopperKg: 5000,
	});
	return { sprayerId, applicatorId, handSprayerId, treaterId, spaceId };
}
