type Schema = { readonly [keyword: string]: unknown };

const words = new Set(['$schema', '$id', 'title', 'description']);
const types: Readonly<Record<string, (value: unknown) => boolean>> = {
	object: (value) => typeof value === 'object' && value !== null && !Array.isArray(value),
	array: Array.isArray,
	string: (value) => typeof value === 'string',
	number: (value) => typeof value === 'number',
	integer: Number.isInteger,
	boolean: (value) => typeof value === 'boolean',
	null: (value) => value === null,
};
const formats: Readonly<Record<string, RegExp>> = {
	date: /^\d{4}-\d{2}-\d{2}$/,
	'date-time': /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})$/,
};

/**
 * What of a value breaks a JSON Schema (draft 2020-12), as far as our own schemas go. A keyword it does not know throws, so
 * that nothing in a schema goes unchecked.
 */
export function breaches(schema: Schema, value: unknown, at = '$'): string[] {
	return Object.entries(schema).flatMap(([keyword, asked]) => {
		if (words.has(keyword)) return [];
		const check = keywords[keyword];
		if (!check) throw new Error(`${at}: the keyword ${keyword} is not known to this check`);
		return check(asked, value, { schema, at });
	});
}

type Place = { readonly schema: Schema; readonly at: string };
type Check = (asked: unknown, value: unknown, place: Place) => string[];

const keywords: Readonly<Record<string, Check>> = {
	type: (asked, value, { at }) =>
		[asked].flat().some((type) => types[String(type)]?.(value)) ? [] : [`${at} is no ${asked}`],
	const: (asked, value, { at }) => (asked === value ? [] : [`${at} is not ${asked}`]),
	enum: (asked, value, { at }) => ((asked as unknown[]).includes(value) ? [] : [`${at} is none of ${asked}`]),
	minimum: (asked, value, { at }) => (Number(value) >= Number(asked) ? [] : [`${at} is below ${asked}`]),
	maximum: (asked, value, { at }) => (Number(value) <= Number(asked) ? [] : [`${at} is above ${asked}`]),
	pattern: (asked, value, { at }) => (new RegExp(String(asked)).test(String(value)) ? [] : [`${at} is not ${asked}`]),
	format: (asked, value, { at }) => (formats[String(asked)]?.test(String(value)) ? [] : [`${at} is no ${asked}`]),
	anyOf: (asked, value, { at }) =>
		(asked as Schema[]).some((one) => breaches(one, value, at).length === 0) ? [] : [`${at} fits none of its forms`],
	items: (asked, value, { at }) =>
		Array.isArray(value) ? value.flatMap((item, index) => breaches(asked as Schema, item, `${at}[${index}]`)) : [],
	required: (asked, value, { at }) =>
		isObject(value)
			? (asked as string[]).filter((name) => !(name in value)).map((name) => `${at}.${name} is missing`)
			: [],
	properties: (asked, value, { at }) =>
		Object.entries(asked as Record<string, Schema>).flatMap(([name, one]) =>
			isObject(value) && name in value ? breaches(one, value[name], `${at}.${name}`) : [],
		),
	additionalProperties: (_, value, { schema, at }) => {
		const known = Object.keys(schema['properties'] as object);
		const other = isObject(value) ? Object.keys(value).filter((name) => !known.includes(name)) : [];
		return other.map((name) => `${at}.${name} is not in the schema`);
	},
};

/** These keywords ask nothing of what is no object; `type` does. */
function isObject(value: unknown): value is Record<string, unknown> {
	return typeof value === 'object' && value !== null;
}
