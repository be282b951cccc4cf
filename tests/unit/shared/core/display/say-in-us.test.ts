import { expect, test } from 'vitest';
import { sayInUs } from '../../../../../shared/core/display/say-in-us.ts';

test.each([
	['2.5 L/ha', '34.2 fl oz/ac'],
	['200 L/ha', '21.4 gal/ac'],
	['4 L/acre and 250 g/acre', '1.06 gal/ac and 8.82 oz/ac'],
	['0.5 L/ha Alba 480 in 200 L/ha', '6.84 fl oz/ac Alba 480 in 21.4 gal/ac'],
	[
		'The total dose per season comes to 2.4 of 3 L/ha with this application: 0.6 left.',
		'The total dose per season comes to 32.8 of 41.1 fl oz/ac with this application: 8.21 left.',
	],
	['9 L/ha; the label allows 10 – 12 L/ha', '0.962 gal/ac; the label allows 1.07 – 1.28 gal/ac'],
	['Alba: 1.5 L/ha instead of 1 (50 % more).', 'Alba: 20.5 fl oz/ac instead of 13.7 (50 % more).'],
	['200 L/ha of mix instead of 150.', '21.4 gal/ac of mix instead of 16.'],
	['A strip of 5 m is kept, 10 m are needed.', 'A strip of 16.4 ft is kept, 32.8 ft are needed.'],
	[
		'ditch: wet, 3 to 6 m wide, 75 % less drift, 1 m kept',
		'ditch: wet, 9.8 to 19.7 ft wide, 75 % less drift, 3.3 ft kept',
	],
	['5200 kg, 31 L of water', '11,460 lb, 8.19 gal of water'],
	['0.2 L/100 kg', '3.07 fl oz/100 lb'],
	['60 kg N/ha, 20 kg P2O5/ha', '53.5 lb N/ac, 17.8 lb P2O5/ac'],
	['−2.5 ha', '−6.18 ac'],
	['12.30 ± 0.05 ha', '30.39 ± 0.12 ac'],
	['0.1 m smaller', '0.33 ft smaller'],
	['0.01 ha', '0.025 ac'],
	['40 ha', '98.8 ac'],
	['18 °C', '64.4 °F'],
	['0 L left', '0 gal left'],
	['5 L with 0.6 left, 5 L with 4.33 left', '1.32 gal with 0.159 left, 1.32 gal with 1.14 left'],
])('%s', (metric, us) => expect(sayInUs(metric)).toBe(us));

test.each([
	'Quillon 480 g/L, 2 of 3 treatments',
	'Growth stage 31; use is allowed at 25 – 39.',
	'Harvest on 22 May 2027 is 35 days after the application.',
	'in 5 metres, in a hall',
	'1 unit, 12 units',
])('%s has nothing to be turned over', (text) => expect(sayInUs(text)).toBe(text));
