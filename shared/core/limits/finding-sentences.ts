type Told = {
	readonly kind: string;
	readonly say: string;
	readonly field?: string | undefined;
	readonly product?: string | undefined;
};

/**
 * Findings in words, each sentence once. What holds on the ground of single fields names them; `named` puts the product
 * before it as well.
 */
export function findingSentences(findings: readonly Told[], { named }: { readonly named: boolean }): string[] {
	const groups = Map.groupBy(findings, ({ kind, say, product }) => [kind, named ? (product ?? '') : '', say].join('|'));
	return [...groups.values()].flatMap((group) => {
		const [first] = group;
		if (!first) return [];
		const fields = [...new Set(group.flatMap(({ field }) => field ?? []))].join(', ');
		const where = first.kind === 'site' && fields !== '' ? `on ${fields}` : '';
		const on = [named ? (first.product ?? '') : '', where].filter((part) => part !== '').join(' ');
		return [on === '' ? first.say : `${on.charAt(0).toUpperCase()}${on.slice(1)}: ${first.say}`];
	});
}
