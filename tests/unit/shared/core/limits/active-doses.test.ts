import { expect, test } from 'vitest';
import { activeDoses } from '../../../../../shared/core/limits/active-doses.ts';

test('several substances in one product give several lines; one without a density is not known', () => {
	const actives = [
		{ substance: 'azoxystrobin', content: 200, contentUnit: 'g/L', modeOfAction: '11' },
		{ substance: 'difenoconazole', content: 12.5, contentUnit: '%' },
	] as const;
	expect(activeDoses(0.5, { unit: 'L', relativeDensity: null, actives })).toEqual([
		{ substance: 'azoxystrobin', gPerHa: 100, group: '11' },
		{ substance: 'difenoconazole', gPerHa: null, group: null },
	]);
	expect(activeDoses(0.5, { unit: 'L', relativeDensity: 1.1, actives })[1]?.gPerHa).toBeCloseTo(68.75, 9);
});
