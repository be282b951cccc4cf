import { z } from 'zod';
import { command, Key, Nothing, NotNegative, Positive, query, Text } from './procedure.ts';

export const Settings = z.strictObject({
	farmName: z.string().nullable().describe('null until the farm is set up'),
	zone: z.string().describe('IANA time zone of the farm'),
	seasonStartMonth: z.int().min(1).max(12),
	ruleSet: z.string().describe('which record rules apply: see records.ruleSets'),
	measureStep: Positive.describe('smallest amount that is measured out, L or kg'),
	meterErrorPercent: NotNegative.describe('standard error of the water meter'),
	operator: z.string().nullable().describe('who usually sprays'),
	version: z.int(),
});
export type Settings = z.infer<typeof Settings>;

export const settingsContract = {
	get: query('The settings of this farm', Nothing, Settings),
	save: command(
		'Changes settings; what is left out stays',
		z.strictObject({
			key: Key,
			farmName: Text.optional(),
			zone: Text.optional(),
			seasonStartMonth: z.int().min(1).max(12).optional(),
			ruleSet: Text.optional(),
			measureStep: Positive.optional(),
			meterErrorPercent: NotNegative.optional(),
			operator: Text.nullable().optional(),
		}),
		Settings,
	),
};
