/** What a person typed as a quantity. `unclear` asks back rather than guess by a factor of a thousand. */
export type ReadQuantity =
	| { readonly state: 'empty' }
	| { readonly state: 'read'; readonly value: number }
	| { readonly state: 'unclear'; readonly why: string };

/**
 * Reads a quantity with a decimal comma or point: `12,5`, `12.5`, `1 875`, `1,875.5`, `1.875,5`.
 * `1,875` alone may be either and is asked back; `0,375` cannot.
 */
export function readQuantity(typed: string): ReadQuantity {
	const text = typed.replace(/[\s'’]/g, '').replace('−', '-');
	if (text === '') return { state: 'empty' };
	if (!/^-?[\d.,]+$/.test(text) || !/\d/.test(text)) return { state: 'unclear', why: 'Write a number, such as 12.5' };
	const separators = text.replace(/[^.,]/g, '');
	if (separators.length <= 1) return separators === ',' ? readComma(text) : read(text);
	const last = separators.at(-1) ?? '.';
	const others = separators.slice(0, -1);
	if (others.includes(last)) return readGroups(text, separators);
	const other = last === ',' ? '.' : ',';
	const whole = text.slice(0, text.indexOf(last));
	if (!isGrouped(whole, other)) return notClear(text);
	return read(text.replaceAll(other, '').replace(last, '.'));
}

/** A quantity as it stands in an entry field: no grouping, as many decimals as it has. */
export function writeQuantity(value: number | null): string {
	return value === null ? '' : String(Number(value.toFixed(6)));
}

function readComma(text: string): ReadQuantity {
	const [whole = '', part = ''] = text.split(',');
	const bare = whole.replace('-', '');
	if (part.length === 3 && bare !== '0' && bare !== '' && bare.length <= 3) {
		return {
			state: 'unclear',
			why: `Is that ${bare}${part}, or ${bare}.${part}? Write it with a point or without a comma`,
		};
	}
	return read(text.replace(',', '.'));
}

function readGroups(text: string, separators: string): ReadQuantity {
	const separator = separators[0] ?? ',';
	const onlyOneKind = [...separators].every((each) => each === separator);
	if (!onlyOneKind || !isGrouped(text, separator)) return notClear(text);
	return read(text.replaceAll(separator, ''));
}

function isGrouped(text: string, separator: string): boolean {
	const [first = '', ...groups] = text.replace('-', '').split(separator);
	return first.length >= 1 && first.length <= 3 && groups.every((group) => group.length === 3);
}

function notClear(text: string): ReadQuantity {
	return { state: 'unclear', why: `${text} can be read in two ways. Write it without thousands marks` };
}

function read(text: string): ReadQuantity {
	const value = Number(text);
	return Number.isFinite(value) ? { state: 'read', value } : { state: 'unclear', why: 'Write a number, such as 12.5' };
}
