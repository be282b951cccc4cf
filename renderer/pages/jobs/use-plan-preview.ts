import { useDebouncedValue } from '@mantine/hooks';
import type { JobPlan, Strategy } from '../../../shared/contract/jobs-plan.ts';
import type { Api } from '../../api.ts';
import { useProcedure } from '../../use-procedure.ts';

const PAUSE_MS = 250;

/**
 * The plan as it stands, asked for when typing pauses; and which way of splitting the program would take by itself.
 * `name` and the request together name the question.
 */
export function usePlanPreview<Request extends { readonly strategy?: Strategy }>(
	name: string,
	request: Request | null,
	ask: (api: Api, request: Request, signal: AbortSignal) => Promise<JobPlan>,
) {
	const [settled] = useDebouncedValue(JSON.stringify(request), PAUSE_MS);
	const wanted = JSON.parse(settled) as Request | null;
	const { strategy, ...bare } = wanted ?? ({} as Partial<Request>);
	const plan = useProcedure(['jobs', name, settled], (api, signal) => ask(api, wanted as Request, signal), {
		enabled: wanted !== null,
		keepPrevious: true,
	});
	const own = useProcedure(['jobs', name, JSON.stringify(bare)], (api, signal) => ask(api, bare as Request, signal), {
		enabled: wanted !== null && strategy !== undefined,
		keepPrevious: true,
	});
	return { plan, recommended: strategy === undefined ? plan.answer?.strategy : own.answer?.strategy };
}
