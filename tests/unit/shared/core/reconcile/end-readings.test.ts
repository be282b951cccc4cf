import { expect, test } from 'vitest';
import { readingsOfTheJob } from '../../../../../shared/core/reconcile/end-readings.ts';

const washings = { litres: 300, areaHa: 0.5 };

test('washings that went through the same counters are taken off what they read', () => {
	expect(readingsOfTheJob({ sprayedHa: 15.5, controllerL: 3300, washings })).toEqual({
		counterHa: 15,
		controllerL: 3000,
	});
});

test('what was not read stays unknown, and nothing falls below zero', () => {
	expect(readingsOfTheJob({ sprayedHa: null, controllerL: 3300, washings })).toEqual({
		counterHa: null,
		controllerL: 3000,
	});
	expect(readingsOfTheJob({ sprayedHa: 0.2, controllerL: null, washings })).toEqual({
		counterHa: 0,
		controllerL: null,
	});
	expect(readingsOfTheJob({ sprayedHa: 15, controllerL: 3000, washings: null })).toEqual({
		counterHa: 15,
		controllerL: 3000,
	});
});
