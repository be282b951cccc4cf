import { type BigField, MICRO, type Product } from './big-book-store.ts';

/** What the rows of a big book keep as JSON, as long as in a real one. */
export const jobDetails = JSON.stringify({
	customer: null,
	reason: 'weeds',
	operator: 'A. Marsh',
	growthStage: '31',
	nozzle: '03',
	pressureBar: 3,
	speedKmh: 10,
	boomHeightM: 0.5,
	bufferM: 5,
	overrideWhy: null,
});

type Load = { readonly load: number; readonly areaHa: number; readonly fields: readonly BigField[] };

export function planText(loads: readonly Load[], mix: readonly Product[]): string {
	return JSON.stringify({
		loads: loads.map(({ load, areaHa, fields }) => ({
			load,
			areaHa,
			newMixL: areaHa * 150,
			carriedInL: 0,
			totalL: areaHa * 150,
			waterL: areaHa * 145,
			ground: fields.map(({ fieldId, m2 }) => ({ fieldId, areaHa: m2 / 10_000 })),
			products: mix.map((product) => ({
				productId: product.id,
				name: product.name,
				amount: product.dose * areaHa,
				fullPacks: [{ size: product.pack / MICRO, count: 2 }],
				measured: 1.5,
			})),
		})),
		strategy: 'full',
		alternatives: [],
		totals: { areaHa: 0, mixL: 0, waterL: 0, products: [] },
		warnings: [],
		limits: [],
	});
}

export function detailsText(product: Product, { at, group }: { readonly at: number; readonly group: number }): string {
	return JSON.stringify({
		formulation: product.formulation,
		authorisationNo: product.authorisationNo ?? null,
		dosePerHa: product.dose,
		crop: 'Winter wheat',
		eppoCode: 'TRZAW',
		useType: 'treatment of surfaces',
		confined: [],
		createdAt: at,
		growthStage: '31',
		reason: 'grass weeds and rust',
		certificateNo: 'C 1234',
		operator: group % 3 === 0 ? 'B. Reed' : 'A. Marsh',
		sprayer: 'Trailed',
		sprayVolumeLPerHa: 150,
		weather: { windSpeedKmh: 8, windDirection: 'SW', windHeightM: 2, temperatureC: 14, humidityPercent: 68 },
		bufferM: 5,
		nozzle: '03',
		zone: 'UTC',
		overrideWhy: null,
		findings: [],
	});
}
