import type { Litres, LitresPerMinute, Seconds } from '../../units/quantity.ts';

/** How a container gets into the tank; each has its own times and rinse steps. */
export const handlingMethods = ['pour', 'closed transfer', 'bag', 'water-soluble bag'] as const;
export type HandlingMethod = (typeof handlingMethods)[number];

/** What is done with one container, whatever its size. */
export type ContainerHandling = {
	readonly preSlurryS: Seconds;
	readonly openAndPourS: Seconds;
	readonly rinsesS: readonly Seconds[];
	readonly drainS: Seconds;
	readonly rinseLPerMin: LitresPerMinute;
	readonly rinseFrom: 'inlet' | 'clean tank';
};

/** The handling of a load: that of its containers, and the time each product needs to disperse before the next. */
export type Handling = ContainerHandling & { readonly waitAfterS: Seconds | Readonly<Record<string, Seconds>> };

export type FillContainer = {
	readonly product: string;
	readonly size: number;
	readonly unit: 'L' | 'kg';
	/** Litres its content takes up in the tank. */
	readonly volumeL: Litres;
	readonly method?: HandlingMethod | undefined;
	readonly handling?: { readonly [Part in keyof ContainerHandling]?: ContainerHandling[Part] | undefined } | undefined;
};

/** One thing the operator does, from start to end; what it brings into the tank is in at its end. */
export type Task = {
	readonly what: 'slurry' | 'pour' | 'rinse' | 'drain' | 'wait';
	/** 1 for the first container; null while a product disperses. */
	readonly container: number | null;
	readonly product: string;
	readonly durationS: Seconds;
	readonly productL: Litres;
	/** Rinse water from the clean tank; what comes from the inlet is metered there. */
	readonly cleanWaterL: Litres;
	/** The last rinse of a container, with clean water from the inlet: it cannot be done while the inlet is stopped. */
	readonly needsInlet: boolean;
};

/**
 * Times by method where a load gives none. Assumptions, to be timed on the farm: no published source gives them. Closed
 * transfer couples, draws and rinses the container in one; what is left to do is the last rinse of the cap.
 */
const byMethod: Readonly<Record<HandlingMethod, Partial<ContainerHandling>>> = {
	pour: {},
	'closed transfer': { preSlurryS: 0, openAndPourS: 50, rinsesS: [10], drainS: 0 },
	bag: { openAndPourS: 40, rinsesS: [], drainS: 0 },
	'water-soluble bag': { preSlurryS: 0, openAndPourS: 15, rinsesS: [], drainS: 0 },
};

/** The handling of one container: what is said for it, else what its method asks for, else that of the load. */
export function handlingOf(container: FillContainer, load: Handling): ContainerHandling {
	const said = Object.entries(container.handling ?? {}).filter(([, value]) => value !== undefined);
	return { ...load, ...byMethod[container.method ?? 'pour'], ...Object.fromEntries(said) };
}

/**
 * Everything the operator does, in order: each container slurried, opened and poured, rinsed, drained; after the last
 * container of a product, the time that product needs to disperse.
 *
 *   one container [s] = slurry + open and pour + all rinses + drain, whatever its size
 */
export function tasksOf(containers: readonly FillContainer[], load: Handling): Task[] {
	return containers.flatMap((container, index) => {
		const tasks = containerTasks(container, index + 1, handlingOf(container, load));
		const lastOfProduct = containers[index + 1]?.product !== container.product;
		return lastOfProduct ? [...tasks, dispersal(container.product, load)] : tasks;
	});
}

function containerTasks(container: FillContainer, number: number, handling: ContainerHandling): Task[] {
	const { preSlurryS, openAndPourS, rinsesS, drainS, rinseLPerMin, rinseFrom } = handling;
	const task = { container: number, product: container.product, productL: 0, cleanWaterL: 0, needsInlet: false };
	const rinses = rinsesS.map((durationS, index): Task => {
		const waterL = (rinseLPerMin * durationS) / 60;
		const last = index === rinsesS.length - 1;
		if (rinseFrom === 'clean tank') return { ...task, what: 'rinse', durationS, cleanWaterL: waterL };
		return { ...task, what: 'rinse', durationS, needsInlet: last };
	});
	return [
		...(preSlurryS > 0 ? [{ ...task, what: 'slurry', durationS: preSlurryS } as const] : []),
		{ ...task, what: 'pour', durationS: openAndPourS, productL: container.volumeL },
		...rinses,
		...(drainS > 0 ? [{ ...task, what: 'drain', durationS: drainS } as const] : []),
	];
}

function dispersal(product: string, { waitAfterS }: Handling): Task {
	const durationS =
		typeof waitAfterS === 'number'
			? waitAfterS
			: (Object.entries(waitAfterS).find(([name]) => name === product)?.[1] ?? 0);
	return { what: 'wait', container: null, product, durationS, productL: 0, cleanWaterL: 0, needsInlet: false };
}
