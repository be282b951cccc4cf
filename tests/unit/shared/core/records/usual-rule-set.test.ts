import { expect, test } from 'vitest';
import { usualRuleSet } from '../../../../../shared/core/records/rule-sets.ts';

test('records are held against the rules of the place, as far as the time zone tells it', () => {
	const zones = [
		'Europe/London',
		'America/Chicago',
		'America/North_Dakota/Center',
		'Europe/Copenhagen',
		'America/Winnipeg',
	];
	expect(zones.map(usualRuleSet)).toEqual(['uk-code', 'us-7cfr110', 'us-7cfr110', 'eu-2023-564', 'eu-2023-564']);
});
