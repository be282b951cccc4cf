import { z } from 'zod';
import { displayUnits } from '../core/display/display-units.ts';
import { command, Key, Nothing, NotNegative, Positive, query, Text } from './procedure.ts';
import { operatorsContract } from './settings-operators.ts';

const Background = z.strictObject({
	kind: z.enum(['xyz', 'wms']),
	address: z.string().max(2000).describe('XYZ: with {z}, {x} and {y}; WMS: the address of the service'),
	layers: z.string().max(500).nullable().describe('WMS: names of the layers, divided by commas'),
	credit: z.string().describe('the line its provider asks for'),
	deepestZoom: z.int().describe('XYZ: the last zoom the server has; beyond it squares are enlarged'),
});

export const Settings = z.strictObject({
	farmName: z.string().nullable().describe('null until the farm is set up'),
	zone: z.string().describe('IANA time zone of the farm'),
	seasonStartMonth: z.int().min(1).max(12),
	ruleSet: z.string().describe('which record rules apply: see records.ruleSets'),
	measureStep: Positive.describe('smallest amount that is measured out, L or kg'),
	meterErrorPercent: NotNegative.describe('standard error of the water meter'),
	operator: z.string().nullable().describe('who usually sprays'),
	background: Background.nullable().describe('the layer under the map; null: no other server is asked'),
	displayUnits: z
		.enum(displayUnits)
		.nullable()
		.describe('units of screens and paper; null: those usual under the rule set. What is kept and asked stays metric'),
	version: z.int(),
});
export type Settings = z.infer<typeof Settings>;

export const settingsContract = {
	...operatorsContract,
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
			displayUnits: z.enum(displayUnits).nullable().optional(),
		}),
		Settings,
	),
	setBackground: command(
		'Sets the layer under the map, or takes it away: that server then learns which ground is looked at',
		z.strictObject({
			key: Key,
			background: Background.extend({
				layers: Background.shape.layers.default(null),
				credit: Text,
				deepestZoom: z.int().min(1).max(22).default(19),
			}).nullable(),
		}),
		Settings,
	),
};
