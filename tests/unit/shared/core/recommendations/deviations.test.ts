import { expect, test } from 'vitest';
import {
	type Deviation,
	deviations,
	type PlannedWork,
	type Recommended,
} from '../../../../../shared/core/recommendations/deviations.ts';

const line = (productId: string, name: string, unit: string, dosePerHa: number) => ({
	productId,
	name,
	unit,
	dosePerHa,
});
const given: Recommended = {
	givenOn: '2026-05-01',
	validUntil: '2026-05-14',
	crop: 'Winter wheat',
	fields: [{ fieldId: '1', name: 'Long Piece' }],
	products: [line('a', 'Suspension', 'L', 1.2), line('b', 'Granule', 'kg', 0.25)],
	sprayVolumeLPerHa: 150,
	withdrawn: null,
};
const followed: PlannedWork = {
	date: '2026-05-14',
	sprayVolumeLPerHa: 150,
	fields: [{ fieldId: '1', name: 'Long Piece', crop: 'Winter barley' }],
	products: [line('a', 'Suspension', 'L', 1.2004), line('b', 'Granule', 'kg', 0.25)],
};
const words = (found: readonly Deviation[]) => found.map(({ kind, say }) => `${kind}: ${say}`);

test('a plan that follows it to the last day departs in nothing; a dose to the rounding is the same', () => {
	expect(deviations(given, followed)).toEqual([]);
});

test('another day, field, product, dose and water are each said with both figures', () => {
	const planned: PlannedWork = {
		date: '2026-05-15',
		sprayVolumeLPerHa: 200,
		fields: [...followed.fields, { fieldId: '2', name: 'Mill Bank', crop: 'Winter wheat' }],
		products: [line('a', 'Suspension', 'L', 1.5), line('c', 'Oil', 'L', 1)],
	};
	expect(words(deviations({ ...given, withdrawn: { why: 'blight found' } }, planned))).toEqual([
		'withdrawn: The recommendation was withdrawn: blight found.',
		'date: 15 May 2026 is after 14 May 2026, until when it holds.',
		'field: Mill Bank is not in it.',
		'dose: Suspension: 1.5 L/ha instead of 1.2 (+25 %).',
		'product: Oil is not in it.',
		'left out: Granule, 0.25 kg/ha, is left out.',
		'spray volume: 200 L/ha of mix instead of 150.',
	]);
});

test('without named fields the crop decides; before it was given it does not hold; water it does not name may be any', () => {
	const ofCrop = { ...given, fields: [], sprayVolumeLPerHa: null };
	const fields = [
		{ fieldId: '1', name: 'Long Piece', crop: 'winter wheat' },
		{ fieldId: '2', name: 'Mill Bank', crop: 'Sugar beet' },
		{ fieldId: '3', name: 'Rookery', crop: null },
	];
	expect(words(deviations(ofCrop, { ...followed, date: '2026-04-30', sprayVolumeLPerHa: 100, fields }))).toEqual([
		'date: 30 April 2026 is before 1 May 2026, when it was given.',
		'field: Mill Bank carries Sugar beet; it is for Winter wheat.',
		'field: Rookery carries no crop on the books; it is for Winter wheat.',
	]);
	expect(deviations({ ...ofCrop, crop: null }, { ...followed, sprayVolumeLPerHa: 100 })).toEqual([]);
});
