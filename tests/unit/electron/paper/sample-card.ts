import type { LoadCard } from '../../../../shared/contract/jobs-card.ts';
import { fill } from '../../../../shared/core/filling/fill.ts';

type Line = LoadCard['order'][number];

/** Invented products of the usual kinds, in mix order. */
const shelf: readonly Partial<Line>[] = [
	{ name: 'Softwater Salt', formulation: 'SG', unit: 'kg', why: 'water conditioner: binds hard water first' },
	{ name: 'Alder 500', formulation: 'WG', unit: 'kg', why: 'dispersible solid: needs water and time' },
	{ name: 'Birch', formulation: 'SC', unit: 'L', why: 'suspension' },
	{ name: 'Cedar Plus', formulation: 'SE', unit: 'L', why: 'suspo-emulsion' },
	{ name: 'Dogwood', formulation: 'EW', unit: 'L', why: 'emulsion in water' },
	{ name: 'Elder 250', formulation: 'EC', unit: 'L', why: 'emulsifiable concentrate' },
	{ name: 'Foxglove', formulation: 'SL', unit: 'L', why: 'solution' },
	{ name: 'Gorse Oil', formulation: 'EC', unit: 'L', why: 'oil adjuvant after the concentrates' },
];

export type CardWish = {
	readonly products?: number;
	readonly fields?: number;
	/** Puts its own text in place of every name. */
	readonly name?: (usual: string) => string;
	readonly text?: string;
	readonly pause?: boolean;
	readonly change?: Partial<LoadCard>;
};

/** A card as `jobs.card` gives it, with figures that belong together. */
export function sampleCard({
	products = 4,
	fields = 2,
	name = (usual) => usual,
	text,
	pause = false,
	change,
}: CardWish): LoadCard {
	const order: Line[] = shelf.slice(0, products).map((line, index) => {
		const size = line.unit === 'L' ? 5 : 10;
		const measured = index % 2 === 0 ? 1.25 : 0;
		const count = 1 + (index % 4);
		return {
			step: index + 1,
			productId: `p${index}`,
			name: name(line.name ?? ''),
			formulation: line.formulation ?? 'SC',
			unit: line.unit ?? 'L',
			dose: { value: index === 0 ? 0.25 : 1.25, unit: line.unit === 'kg' ? 'kg/ha' : 'L/ha' },
			amount: size * count + measured + (index === 3 ? 2.4 : 0),
			fullPacks: [{ size, count }],
			fromOpened: index === 3 ? 2.4 : 0,
			measured,
			why: line.why ?? '',
			source: 'common practice',
			protection: text
				? `${index + 1}: ${text}`
				: index < 2
					? 'Gloves, coverall, face shield; respirator for the dust.'
					: 'Gloves, coverall, face shield.',
			cautions: text
				? `${index + 1}: ${text}`
				: index === 5
					? 'Keep 6 m from water. Harmful to bees: not in open flower.'
					: null,
			hazards: index === 5 ? [] : ['H302', 'H317', 'H410'].slice(0, 1 + (index % 3)),
		};
	});
	const displacementL = order.reduce((sum, { unit, amount }) => sum + (unit === 'L' ? amount : amount * 0.7), 0);
	const totalL = 4000;
	const waterL = totalL - displacementL;
	const ground = Array.from({ length: fields }, (_, index) => ({
		fieldId: `f${index}`,
		field: name(
			['Long Acre', 'Mill Field', 'Łódź Road, north side', 'Under the Wood', 'Gravel Pit 12', 'Brook Piece'][
				index % 6
			] ?? '',
		),
		areaHa: Math.round((26.67 / fields) * 100) / 100,
		finishesField: index < fields - 1,
	}));
	const filled = fill({
		totalL,
		waterL,
		carriedInL: 0,
		inflowLPerMin: pause ? 600 : 200,
		startL: pause ? 1500 : 2000,
		containers: order.flatMap((line) => {
			const per = line.unit === 'L' ? 1 : 0.7;
			const sizes = [
				...(line.fromOpened > 0 ? [line.fromOpened] : []),
				...line.fullPacks.flatMap(({ size, count }) => Array.from({ length: count }, () => size)),
				...(line.measured > 0 ? [line.measured] : []),
			];
			return sizes.map((size) => ({ product: line.name, size, unit: line.unit, volumeL: size * per }));
		}),
		handling: {
			preSlurryS: 0,
			openAndPourS: 18,
			rinsesS: [10, 10, 10],
			drainS: 0,
			rinseLPerMin: 10,
			rinseFrom: 'inlet',
			waitAfterS: 0,
		},
		closeReserveL: 100,
		valveRunOnL: 0,
		leastWaterL: 0,
	});
	return {
		jobId: 'job-1',
		job: name('Winter wheat: Alder 500 and 3 more'),
		code: 'K4TAN-2',
		farm: name('Brookside Farm'),
		date: '2027-04-15',
		load: 2,
		loads: 5,
		kind: 'spray in water',
		carrier: null,
		seed: null,
		indoors: null,
		keepOut: null,
		sprayer: name('Trailed 4000'),
		sprayVolumeLPerHa: 150,
		capacityL: 4200,
		operator: name('M. Sørensen'),
		nozzle: name('air induction flat fan 03'),
		pressureBar: 2.5,
		speedKmh: 10.5,
		boomHeightM: 0.5,
		bufferM: 3,
		ends: { field: ground.at(-1)?.field ?? '', intoHa: 18.34, finishes: false },
		plan: {
			load: 2,
			areaHa: 26.67,
			newMixL: totalL,
			carriedInL: 0,
			totalL,
			waterL,
			displacementL,
			products: order.map(
				({ step: _, why: __, source: ___, protection: ____, cautions: _____, hazards: ______, ...line }) => line,
			),
			containersToHandle: 9,
			measuredPours: 2,
			ground,
		},
		order,
		orderProblem: null,
		fill: filled.ok ? filled.value : null,
		fillProblem: filled.ok ? null : filled.problem.code,
		rinseRule: 'Rinse each container 3 × 10 s from the inlet. It counts as rinsed after its clean-water rinses.',
		startL: pause ? 1500 : 2000,
		pace: { inflowLPerMin: 260, inflowFills: 0, secondsPerContainer: 48, paceFills: 0 },
		toAnswer: [],
		overrideWhy: null,
		limits: [
			limit({ fieldId: 'f0', kind: 'buffer', verdict: 'ok', limit: 6, unit: 'm', say: 'Buffer of 6 m.' }),
			limit({
				kind: 'harvestInterval',
				verdict: 'warn',
				say: 'Birch: harvest no sooner than 35 days after, wind ≤ 12 km/h.',
			}),
			limit({ kind: 'stage', verdict: 'unknown', say: 'No limit entered.' }),
		],
		cautions: [
			'The product labels come first. This sheet informs; it permits nothing and replaces no label.',
			'Wear the protective equipment the labels ask for when opening, pouring and rinsing.',
			'Local rules on mixing places, buffer zones, wind and washings apply.',
			'Only a trained and, where the law asks for it, licensed operator mixes and sprays.',
		],
		...change,
	};
}

/** A treatment of so many closed spaces with one mix, in fills of a small tank that run on through them. */
export function spacesCard(many: number, name: (usual: string) => string = (usual) => usual): LoadCard {
	const card = sampleCard({ products: 2, name });
	const spaces = Array.from({ length: many }, (_, index) => ({
		spaceId: `s${index}`,
		name: name(`Bin ${index + 1}`),
		amount: 180,
	}));
	const fills = [{ count: 6, mixL: 15, waterL: 14.7, amounts: [0.25, 0.05] }];
	return {
		...card,
		kind: 'closed space',
		fill: null,
		keepOut: 'Keep everyone out for 24 h after the end, and ventilate before anyone enters.',
		indoors: {
			unit: 'm²',
			mixL: 90,
			spaces: spaces.map((space) => ({ ...space, kind: 'silo or bin', place: name('Thornmere yard') })),
		},
		plan: {
			...card.plan,
			ground: [],
			space: 180 * many,
			spaceUnit: 'm²',
			fills,
			spaces: spaces.map((space) => ({
				...space,
				mixL: 90 / many,
				fills: { begun: { fill: 3, endsAfter: 20 }, doneWith: 4, leftL: 4 },
			})),
		},
	};
}

function limit(given: Partial<LoadCard['limits'][number]>): LoadCard['limits'][number] {
	return {
		fieldId: 'f0',
		kind: 'buffer',
		verdict: 'ok',
		limit: null,
		value: null,
		unit: null,
		records: [],
		source: 'label',
		say: '',
		...given,
	};
}
