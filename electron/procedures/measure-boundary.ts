import type { z } from 'zod';
import { ok, type Result } from '../../shared/basics/result.ts';
import type { MeasureInput, MeasureOutput } from '../../shared/contract/ground.ts';
import { boundaryFindings } from '../../shared/core/geometry/boundary-checks.ts';
import { measure } from '../../shared/core/geometry/polygon-area.ts';

/** Area and perimeter of a boundary, with what is odd about it. */
export function measureBoundary(input: z.output<typeof MeasureInput>): Result<z.output<typeof MeasureOutput>> {
	const measured = measure(input);
	if (!measured.ok) return measured;
	const warnings = boundaryFindings(input.geometry).map(({ kind, say }) => ({
		code: `boundary.${kind}`,
		message: say,
	}));
	return ok({ ...measured.value, ...(warnings.length > 0 ? { warnings } : {}) });
}
