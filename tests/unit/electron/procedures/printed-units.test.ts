import { createRouterClient } from '@orpc/server';
import { expect, test } from 'vitest';
import { createRouter } from '../../../../electron/procedures/router.ts';
import { ok } from '../../../../shared/basics/result.ts';
import { type Api, smallFarm, testBooks } from './test-books.ts';

/** Every sheet the program prints besides reports, as the words on it. */
async function printedOn(displayUnits: 'metric' | 'US customary'): Promise<string[]> {
	const { api, book } = testBooks();
	const { fieldId, suspensionId, sprayerId } = await smallFarm(api);
	await api.fields.setBoundary({
		...{ key: 'boundary', id: fieldId, version: 1, source: 'walked', on: '2026-01-01' },
		geometry: { type: 'Polygon', coordinates: [ring] },
	});
	await api.settings.save({ key: 'units', displayUnits });
	const job = await api.jobs.add({
		...{ key: 'job', sprayerId, sprayVolumeLPerHa: 200, fields: [{ fieldId }], date: '2026-04-15', reason: 'mildew' },
		products: [{ productId: suspensionId, dosePerHa: 1 }],
	});
	const sheets: string[] = [];
	const printer = {
		pdf: async (html: string) => {
			sheets.push(html.replace(/<style>[\s\S]*?<\/style>/, '').replace(/<[^>]*>/g, ' '));
			return ok(new Uint8Array());
		},
	};
	const printing = createRouterClient(createRouter(), { context: { book, printer } }) as Api;
	await printing.jobs.printCard({ jobId: job.id });
	await printing.store.printCountSheet({ book: true });
	await printing.store.printEmergencyList({});
	await printing.fields.printMap({});
	return sheets.map((sheet) => sheet.replace(/\s+/g, ' '));
}

const ring = [
	[10, 52],
	[10.008, 52],
	[10.008, 52.006],
	[10, 52.006],
	[10, 52],
];

const METRIC = /\d (?:L|kg|ha|m|km\/h|bar)\b|litres|Hectares/;
const US = /\d (?:gal|fl oz|lb|ac|ft|mph|psi)\b|gallons|Acres/;

test('every sheet is printed in the units of the farm, and in no others', async () => {
	const metric = await printedOn('metric');
	expect(metric.map((sheet) => [METRIC.test(sheet), US.exec(sheet)])).toEqual(Array(4).fill([true, null]));
	const us = await printedOn('US customary');
	expect(us.map((sheet) => [US.test(sheet), METRIC.exec(sheet)])).toEqual(Array(4).fill([true, null]));
});
