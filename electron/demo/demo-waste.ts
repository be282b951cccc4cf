import type { Empties } from '../../shared/contract/waste.ts';

type Need = <Output>(name: string, input: object) => Promise<Output>;

const NOTE = { carrier: 'Saltings Farm Waste', registrationNo: 'CBDU 40718', noteNo: 'SFW 2291' };
/** Larger ones go back to the supplier and stay in the yard until then. */
const LARGEST_COLLECTED = 20;

/** A finished season's empties, handed over by product and size with a bag of caps and foils. Carrier and note are invented. */
export async function handOverEmpties(need: Need, date: string, by: string): Promise<void> {
	await need('waste.closeBag', { key: `demo-bag-${date}`, date, by });
	const { products, collections } = await need<Empties>('waste.empties', {});
	if (collections.some(({ noteNo }) => noteNo === NOTE.noteNo)) return;
	const lines = products
		.filter(({ size, waiting }) => waiting > 0 && size <= LARGEST_COLLECTED)
		.flatMap(({ productId, size, unit, waiting, notRinsed }) => [
			{ kind: 'rinsed containers', productId, size, unit, pieces: waiting - notRinsed },
			{ kind: 'unrinsed containers', productId, size, unit, pieces: notRinsed },
		])
		.filter(({ pieces }) => pieces > 0);
	await need('waste.collect', {
		...{ key: `demo-collection-${date}`, date, ...NOTE, by },
		lines: [...lines, { kind: 'caps and foils', pieces: 1 }],
	});
}
