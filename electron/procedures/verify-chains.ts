import { checkChain } from '../../db/modules/records.ts';
import { ok } from '../../shared/basics/result.ts';
import type { QueryContext } from './handler.ts';

/** Walks the three chains. `head` may be one printed earlier, or its first 16 digits: one of the chains must hold it. */
export async function verifyChains({ db }: QueryContext, { head }: { head?: string | undefined }) {
	const printed = head?.trim().toLowerCase();
	const chains = [];
	let firstBad: { chain: string; seq: number; why: string } | null = null;
	let found: { chain: string; seq: number } | null = null;
	for (const chain of ['records', 'ledger', 'audit'] as const) {
		const checked = await checkChain(db, chain);
		chains.push({ chain, entries: checked.entries, head: checked.head });
		if (checked.firstBad) firstBad ??= { chain, ...checked.firstBad };
		const seq = printed ? checked.find(printed) : null;
		if (seq !== null) found ??= { chain, seq };
	}
	const [records] = chains;
	if (printed && !found) {
		const why = 'the head given is not in the books: entries were removed or rewritten, or it was copied wrongly';
		firstBad ??= { chain: 'records', seq: records?.entries ?? 0, why };
	}
	return ok({
		ok: firstBad === null,
		entries: records?.entries ?? 0,
		head: records?.head ?? '',
		...(firstBad ? { firstBad } : {}),
		...(found ? { found } : {}),
		chains,
	});
}
