type Sourced = { readonly source: string; readonly fromMemory: boolean };

/** Where an item is written, for its line in a table. */
export type SourceOnce = {
	/** The writing itself, `7 CFR 110.3(a)(1)`. */
	readonly writing: string;
	/** What is said of this item in it: `where the authorisation limits the stage`. */
	readonly says: string;
	/** The line above names the same writing: there it is read. */
	readonly asAbove: boolean;
};

/** The sources of a list, each writing named once where the items that follow one another share it. */
export function sourcesOnce(items: readonly Sourced[]): SourceOnce[] {
	return items.map((item, at) => {
		const above = items[at - 1];
		const { writing, says } = parted(item);
		const asAbove = above !== undefined && parted(above).writing === writing && above.fromMemory === item.fromMemory;
		return { writing, says, asAbove };
	});
}

function parted({ source }: Sourced): Pick<SourceOnce, 'writing' | 'says'> {
	const [writing = '', ...says] = source.replace(/, from memory$/, '').split(': ');
	return { writing, says: says.join(': ') };
}
