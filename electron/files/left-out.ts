/** Ground of a field that is not sprayed, as our exported files name it; read again it must not become a field of its own. */
import type { Attribute, AttributeValue } from './layer.ts';

/** What stands in the column `kind`. */
export const KIND_WORDS = { strip: 'no-spray strip', obstacle: 'obstacle' } as const;
/** The column that names the field such ground belongs to. */
export const OF_FIELD = 'of_field';

const KIND = 'kind';
const notFields: ReadonlySet<AttributeValue> = new Set(Object.values(KIND_WORDS));

/** Why a record is no field, by its values; null where nothing in them says so. */
export function leftOutReason(attributes: readonly Attribute[]): (values: readonly AttributeValue[]) => string | null {
	const [kindAt, fieldAt] = [KIND, OF_FIELD].map((wanted) => attributes.findIndex(({ name }) => name === wanted));
	return (values) => {
		const [kind, field] = [values[kindAt ?? -1] ?? null, values[fieldAt ?? -1] ?? null];
		return field !== null && notFields.has(kind)
			? `it is ${kind === KIND_WORDS.obstacle ? 'an' : 'a'} ${kind} of the field ${field}, not a field`
			: null;
	};
}
