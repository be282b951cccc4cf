import { z } from 'zod';
import { spaceKinds } from '../core/loads/closed-space.ts';
import { changeOf, command, Id, Key, LongText, Nothing, Positive, query, Text } from './procedure.ts';

const spaceFields = {
	name: Text,
	kind: z.enum(spaceKinds).default('grain store'),
	code: z.string().trim().max(40).optional().describe('of the building or facility in a register, where it has one'),
	place: z.string().trim().max(200).optional().describe('where it stands: an address, or words that find it'),
	latitude: z.number().min(-90).max(90).optional().describe('WGS 84 degrees, with longitude'),
	longitude: z.number().min(-180).max(180).optional(),
	floorM2: Positive.optional().describe('surface that is treated, by default the floor, m²'),
	volumeM3: Positive.optional().describe('air space, m³'),
	note: LongText.optional(),
};

export const ClosedSpace = z.strictObject({ id: Id, ...spaceFields, version: z.int() });
export type ClosedSpace = z.infer<typeof ClosedSpace>;

export const spacesContract = {
	add: command(
		'Puts a closed space on the books: a store, a silo, a glasshouse',
		z.strictObject({ key: Key, ...spaceFields }),
		z.strictObject({ id: Id }),
	),
	update: command(
		'Changes a closed space; what is left out stays, records keep what they said',
		z.strictObject({ key: Key, id: Id, version: z.int(), ...changeOf(spaceFields) }),
		ClosedSpace,
	),
	remove: command(
		'Takes a closed space off the list; its jobs and records stay',
		z.strictObject({ key: Key, id: Id, version: z.int(), why: Text }),
		z.strictObject({ id: Id }),
	),
	list: query('Every closed space on the books, by name', Nothing, z.array(ClosedSpace)),
};
