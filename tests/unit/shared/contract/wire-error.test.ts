import { ORPCError } from '@orpc/client';
import { expect, test } from 'vitest';
import { toProblem } from '../../../../shared/contract/wire-error.ts';

test('a refusal keeps its code, sentence and figures', () => {
	const error = new ORPCError('product.packUnknown', {
		status: 422,
		data: { product: 'Alder', size: 5, unit: 'L', sizes: [1, 10] },
	});
	expect(toProblem(error)).toEqual({
		code: 'product.packUnknown',
		message: 'Alder has no pack size of 5 L. It has: 1, 10.',
		details: { product: 'Alder', size: 5, unit: 'L', sizes: [1, 10] },
	});
});

test('complaints of a schema say where and why, the first in the sentence', () => {
	const issues = [
		{ path: ['fields', 2, 'areaHa'], message: 'too small' },
		{ path: [{ key: 'key' }], message: 'missing' },
	];
	expect(toProblem(new ORPCError('BAD_REQUEST', { data: { issues } }))).toEqual({
		code: 'input.invalid',
		message: 'fields[2].areaHa: too small',
		details: {
			path: 'fields[2].areaHa',
			why: 'too small',
			issues: [
				{ path: 'fields[2].areaHa', why: 'too small' },
				{ path: 'key', why: 'missing' },
			],
		},
	});
	const whole = { issues: [{ path: [], message: 'unknown key "x"' }] };
	expect(toProblem(new ORPCError('BAD_REQUEST', { data: whole })).details).toEqual({
		path: 'input',
		why: 'unknown key "x"',
	});
});

test.each([
	['a request that could not be read', new ORPCError('BAD_REQUEST'), 'input.invalid'],
	['an unknown procedure', new ORPCError('NOT_FOUND', { data: { name: 'fields.plough' } }), 'procedure.unknown'],
	['a body that is too large', new ORPCError('PAYLOAD_TOO_LARGE'), 'door.tooLarge'],
	['a bug', new ORPCError('INTERNAL_SERVER_ERROR', { data: { secret: 1 } }), 'internal'],
	['a code of nobody', new ORPCError('SOMETHING'), 'internal'],
	['an error of the database', Object.assign(new Error('disk I/O error'), { code: 'SQLITE_IOERR' }), 'internal'],
	['a name of every object', { code: 'constructor' }, 'internal'],
	['nothing', undefined, 'internal'],
	['a thrown text', 'oops', 'internal'],
] as const)('%s', (_, error, code) => {
	const problem = toProblem(error);
	expect([problem.code, code === 'internal' ? problem.details : {}]).toEqual([code, {}]);
});
