/** The members that were given; what was left out or is undefined stays as it was. */
export function given<Changes extends object>(
	changes: Changes,
): { [Name in keyof Changes]?: Exclude<Changes[Name], undefined> } {
	return Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined)) as {
		[Name in keyof Changes]?: Exclude<Changes[Name], undefined>;
	};
}
