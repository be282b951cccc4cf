/** The demonstration farm's spray programme of one season, by month and day of the harvest year or the year before. */

export type Treatment = {
	readonly name: string;
	readonly crop: string;
	/** Month and day; October to December lie in the year before the harvest. */
	readonly day: string;
	readonly sprayVolume: number;
	readonly stage: string;
	readonly reason: string;
	readonly products: readonly (readonly [name: string, dose: number])[];
	/** What was in flower, where the label asks. */
	readonly inFlower?: string;
	/** Its distances to water were assessed. */
	readonly atWater?: true;
	/** An adviser recommended it; doses that he gave otherwise. */
	readonly advised?: Readonly<Record<string, number>>;
	/** What was spilt while it was filled. */
	readonly spilt?: readonly [name: string, amount: number];
	/** Foam went over the side. */
	readonly foamed?: true;
	/** The washings are logged onto its last field. */
	readonly washedOut?: true;
	/** Spread dry: no volume counts. */
	readonly granules?: true;
	/** Liquid fertiliser that fills the tank, from the store. */
	readonly carrier?: string;
};

export const programme: readonly Treatment[] = [
	{
		name: 'Barley, autumn residual',
		crop: 'Winter barley',
		day: '10-21',
		sprayVolume: 200,
		stage: '11',
		reason: 'annual meadow grass and broad-leaved weeds',
		products: [
			['Skarrow 500', 0.3],
			['Marrowby 400', 0.15],
		],
		atWater: true,
	},
	{
		name: 'Wheat, autumn residual',
		crop: 'Winter wheat',
		day: '10-29',
		sprayVolume: 200,
		stage: '11',
		reason: 'black-grass',
		products: [
			['Skarrow 500', 0.48],
			['Marrowby 400', 0.25],
		],
		atWater: true,
		foamed: true,
	},
	{
		name: 'Rape, slugs',
		crop: 'Winter oilseed rape',
		day: '10-04',
		sprayVolume: 0,
		stage: '13',
		reason: 'slugs, four in a trap',
		products: [['Millrind pellets', 6]],
		granules: true,
	},
	{
		name: 'Rape, autumn disease',
		crop: 'Winter oilseed rape',
		day: '11-18',
		sprayVolume: 150,
		stage: '16',
		reason: 'phoma and light leaf spot',
		products: [['Veldane 250', 0.46]],
	},
	{
		name: 'Beans, before drilling',
		crop: 'Spring beans',
		day: '02-24',
		sprayVolume: 100,
		stage: '00',
		reason: 'overwintered weeds',
		products: [
			['Saltmarsh conditioner', 0.5],
			['Quillon 480', 2.5],
		],
	},
	{
		name: 'Beet, before drilling',
		crop: 'Sugar beet',
		day: '03-12',
		sprayVolume: 100,
		stage: '00',
		reason: 'overwintered weeds and volunteers',
		products: [
			['Saltmarsh conditioner', 0.5],
			['Quillon 480', 3],
		],
	},
	{
		name: 'Wheat, spring grass weeds',
		crop: 'Winter wheat',
		day: '03-20',
		sprayVolume: 120,
		stage: '25',
		reason: 'black-grass, second flush',
		products: [
			['Hollowdene WG', 0.35],
			['Larkfold oil', 1],
		],
	},
	{
		name: 'Barley, nitrogen and sulphonylurea',
		crop: 'Winter barley',
		day: '03-24',
		sprayVolume: 200,
		stage: '25',
		reason: 'first nitrogen; broad-leaved weeds',
		products: [['Wetherlow SG', 0.02]],
		carrier: 'Fenlow N 28',
	},
	{
		name: 'Wheat, growth regulator',
		crop: 'Winter wheat',
		day: '04-06',
		sprayVolume: 150,
		stage: '30',
		reason: 'standing power; cleavers',
		products: [
			['Saltmarsh conditioner', 0.4],
			['Wetherlow SG', 0.024],
			['Tiddimore 720', 1.7],
		],
	},
	{
		name: 'Barley, T1',
		crop: 'Winter barley',
		day: '04-14',
		sprayVolume: 120,
		stage: '31',
		reason: 'net blotch and rhynchosporium',
		products: [
			['Veldane 250', 0.55],
			['Ossier 200', 0.6],
		],
		washedOut: true,
	},
	{
		name: 'Wheat, T1',
		crop: 'Winter wheat',
		day: '04-25',
		sprayVolume: 120,
		stage: '32',
		reason: 'septoria',
		products: [
			['Veldane 250', 0.64],
			['Ossier 200', 0.75],
		],
	},
	{
		name: 'Beet, first broad-leaved',
		crop: 'Sugar beet',
		day: '04-28',
		sprayVolume: 100,
		stage: '12',
		reason: 'fat hen and knotgrass',
		products: [
			['Brackwater 160', 1.4],
			['Larkfold oil', 0.5],
		],
	},
	{
		name: 'Beans, weevil',
		crop: 'Spring beans',
		day: '05-06',
		sprayVolume: 150,
		stage: '15',
		reason: 'pea and bean weevil above threshold',
		products: [['Kestrelby 100', 0.075]],
		inFlower: 'nothing',
	},
	{
		name: 'Beet, second broad-leaved',
		crop: 'Sugar beet',
		day: '05-09',
		sprayVolume: 100,
		stage: '16',
		reason: 'fat hen, grasses',
		products: [
			['Brackwater 160', 1.6],
			['Lowmere OD', 1],
			['Larkfold oil', 0.5],
		],
	},
	{
		name: 'Wheat, T2',
		crop: 'Winter wheat',
		day: '05-21',
		sprayVolume: 150,
		stage: '39',
		reason: 'septoria on the flag leaf',
		products: [
			['Veldane 250', 0.72],
			['Ossier 200', 0.9],
		],
		advised: { 'Veldane 250': 0.64 },
		spilt: ['Veldane 250', 0.4],
	},
];

/** The local date of a treatment in a harvest year. */
export function treatmentDate({ day }: Pick<Treatment, 'day'>, harvest: number): string {
	return `${day >= '10-01' ? harvest - 1 : harvest}-${day}`;
}
