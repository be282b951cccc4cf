import { type AnyContractRouter, isContractProcedure } from '@orpc/contract';
import { z } from 'zod';
import { contract } from '../../shared/contract/contract.ts';
import type { ProcedureMeta } from '../../shared/contract/procedure.ts';

/** One procedure as a caller needs to know it; schemas in JSON Schema. */
export type ProcedureEntry = ProcedureMeta & {
	readonly name: string;
	readonly input: unknown;
	readonly output: unknown;
};

export type FoundProcedure = { readonly path: readonly [string, string]; readonly kind: ProcedureMeta['kind'] };

type Declared = {
	readonly name: string;
	readonly path: readonly [string, string];
	readonly procedure: DeclaredProcedure;
};
type DeclaredProcedure = { '~orpc': { meta: ProcedureMeta; inputSchema: z.ZodType; outputSchema: z.ZodType } };

/** The procedure of that name (`fields.measure`), or null. */
export function findProcedure(name: string): FoundProcedure | null {
	const found = declared().find((one) => one.name === name);
	return found ? { path: found.path, kind: found.procedure['~orpc'].meta.kind } : null;
}

/** Every procedure, for `call --list`. */
export function listProcedures(): ProcedureEntry[] {
	return declared().map(({ name, procedure }) => {
		const { meta, inputSchema, outputSchema } = procedure['~orpc'];
		return { name, ...meta, input: toJsonSchema(inputSchema, 'input'), output: toJsonSchema(outputSchema, 'output') };
	});
}

function declared(): Declared[] {
	const modules = Object.entries(contract as Record<string, Record<string, AnyContractRouter>>);
	return modules.flatMap(([module, procedures]) =>
		Object.entries(procedures).flatMap(([short, procedure]) =>
			isContractProcedure(procedure)
				? [
						{
							name: `${module}.${short}`,
							path: [module, short] as const,
							procedure: procedure as unknown as DeclaredProcedure,
						},
					]
				: [],
		),
	);
}

function toJsonSchema(schema: z.ZodType, io: 'input' | 'output'): unknown {
	return z.toJSONSchema(schema, { io, unrepresentable: 'any' });
}
