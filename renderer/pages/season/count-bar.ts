/** One count: by how much it differed from the book, and by how much measuring lets it. */
export type CountBar = {
	readonly id: string;
	readonly on: string;
	readonly difference: number;
	readonly likelySize: number;
};

export const within = ({ difference, likelySize }: Pick<CountBar, 'difference' | 'likelySize'>) =>
	Math.abs(difference) <= likelySize;
