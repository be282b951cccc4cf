import type { DrawnPart, DrawnProduct, NotAsNamed } from '../../../shared/contract/jobs-drawn.ts';
import type { Units } from '../../units.ts';

const outOf: Readonly<Record<DrawnPart['what'] | NotAsNamed['missing'][number]['what'], string>> = {
	opened: 'an opened container',
	full: 'whole packs',
	measured: 'a pack to measure from',
	'newly opened': 'a pack newly opened',
	'beyond the book': 'what the book does not hold',
};

/** `3.5 L of an opened container (batch S1)`; without a batch only the container. */
function partWords(
	{ what, amount: litres, batch }: Pick<DrawnPart, 'amount' | 'batch'> & { what: keyof typeof outOf },
	unit: string,
	farmUnits: Units,
) {
	if (what === 'beyond the book') return `${farmUnits.amount(litres, unit)} more than the book holds`;
	return `${farmUnits.amount(litres, unit)} of ${outOf[what]}${batch === null ? '' : ` (batch ${batch})`}`;
}

/** `13.5 L of batch S1, 2.5 L of batch L9`: out of what a product is drawn. */
export function drawnWords({ parts }: Pick<DrawnProduct, 'parts'>, unit: string, farmUnits: Units): string {
	const lines = Map.groupBy(parts, ({ what, batch }) => (what === 'beyond the book' ? what : batch));
	return [...lines]
		.map(([from, own]) => {
			const sum = Math.round(own.reduce((total, part) => total + part.amount, 0) * 1e6) / 1e6;
			const name =
				from === null
					? 'of packs without a batch'
					: from === 'beyond the book'
						? 'more than the book holds'
						: `of batch ${from}`;
			return `${farmUnits.amount(sum, unit)} ${name}`;
		})
		.join(', ');
}

/** Another container of the same batch is the same product off the same shelf: nothing to tell anyone. */
export function isOtherBatch({ missing, instead }: NotAsNamed): boolean {
	const byBatch = new Map<string, number>();
	for (const { batch, amount: litres } of missing) add(byBatch, batch, litres);
	for (const { what, batch, amount: litres } of instead)
		add(byBatch, what === 'beyond the book' ? what : batch, -litres);
	return [...byBatch.values()].some((left) => Math.abs(left) > 1e-6);
}

function add(sums: Map<string, number>, batch: string | null, litres: number): void {
	sums.set(batch ?? '', (sums.get(batch ?? '') ?? 0) + litres);
}

/** `Not as named: 3.5 L of an opened container (batch S1). Instead: 3.5 L of a pack newly opened (batch L9).` */
export function notAsNamedWords({ missing, instead }: NotAsNamed, unit: string, farmUnits: Units): string {
	const list = (parts: readonly Parameters<typeof partWords>[0][]) =>
		parts.map((part) => partWords(part, unit, farmUnits)).join(' and ');
	return `Not as named: ${list(missing)}. Instead: ${list(instead)}.`;
}
