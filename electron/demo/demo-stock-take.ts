type Need = <Output>(name: string, input: object) => Promise<Output>;

/** Differences of the two stock takes, by product: in L or kg against the book. */
const countErrors: readonly ReadonlyMap<string, number>[] = [
	new Map([
		['Skarrow 500', -0.4],
		['Marrowby 400', 0.2],
		['Quillon 480', -5],
	]),
	new Map([
		['Veldane 250', -10],
		['Ossier 200', 0.6],
		['Larkfold oil', -0.8],
		['Tiddimore 720', 0.5],
	]),
];

/** One stock take over the whole store. */
export async function countAll(
	need: Need,
	products: ReadonlyMap<string, { id: string }>,
	date: string,
	index: number,
	by: string,
): Promise<void> {
	const stock = await need<{ productId: string; amount: number }[]>('store.onHand', {});
	for (const [name, { id }] of products) {
		const book = stock.find(({ productId }) => productId === id)?.amount ?? 0;
		const error = countErrors[index]?.get(name) ?? 0;
		if (book === 0) continue;
		const counted = Number(Math.max(0, book + error).toFixed(2));
		await need('store.count', {
			key: `demo-count-${date}-${name}`,
			productId: id,
			counted,
			why: error === 0 ? 'stock take, agrees' : 'stock take; difference not yet explained',
			by,
			at: `${date}T16:00:00`,
		});
	}
}
