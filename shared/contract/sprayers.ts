import { z } from 'zod';
import { driftReductions } from '../core/limits/margin-kept.ts';
import { machineKinds } from '../core/loads/application-kind.ts';
import { changeOf, command, Id, Key, LocalDate, Nothing, NotNegative, Positive, query, Text } from './procedure.ts';

const sprayerFields = {
	name: Text,
	kind: z.enum(machineKinds).default('sprayer'),
	capacityL: NotNegative.default(0).describe('nominal volume of the tank; 0: it has none'),
	minimumL: NotNegative.default(0).describe('smallest load that still agitates'),
	hopperKg: Positive.nullable()
		.default(null)
		.describe('granules the hopper holds, or seed of one batch of a treater; null: it treats in one go'),
	unsprayableL: NotNegative.default(0).describe('stays in sump and lines'),
	boomWidthM: Positive.optional(),
	nozzleSpacingM: Positive.default(0.5),
	nozzle: z.string().trim().max(60).optional(),
	driftReduction: z
		.literal(driftReductions)
		.optional()
		.describe('of these nozzles, at least so many percent less drift; 0: not drift-reducing'),
	pressureBar: Positive.optional(),
	speedKmh: Positive.optional(),
	boomHeightM: Positive.optional(),
	inflowLPerMin: Positive.default(200).describe('water supply where this sprayer is filled'),
	startL: NotNegative.optional().describe('water in the tank before the first container; left out: half the load'),
	openAndPourS: NotNegative.default(18),
	rinsesS: z.array(NotNegative).max(10).default([10, 10, 10]),
	drainS: NotNegative.default(0),
	rinseLPerMin: NotNegative.default(10),
	rinseFrom: z.enum(['inlet', 'clean tank']).default('inlet'),
	closeReserveL: NotNegative.default(100).describe('every container is done this much before the tank is full'),
	valveRunOnL: NotNegative.default(0),
	waitAfterS: NotNegative.max(3600)
		.optional()
		.describe('time to disperse after each product; left out: only dry products wait'),
	testedOn: LocalDate.optional().describe('last sprayer test'),
	testDueOn: LocalDate.optional(),
};

export const Sprayer = z.strictObject({ id: Id, ...sprayerFields, version: z.int() });
export type Sprayer = z.infer<typeof Sprayer>;

export const sprayersContract = {
	add: command(
		'Puts a sprayer, granule applicator or seed treater on the books',
		z.strictObject({ key: Key.optional(), ...sprayerFields }),
		z.strictObject({ id: Id }),
	),
	update: command(
		'Changes a sprayer; what is left out stays',
		z.strictObject({ key: Key, id: Id, version: z.int(), ...changeOf(sprayerFields) }),
		Sprayer,
	),
	list: query('Every machine on the books that brings products out', Nothing, z.array(Sprayer)),
};
