import type { Store } from '../../../shared/contract/store-list.ts';

/** Which of several stores is looked at; `all`: what looking at all of them is called. */
export function StoreSwitch(props: {
	readonly stores: readonly Store[];
	readonly value: string | null;
	readonly onChange: (storeId: string | null) => void;
	readonly all?: string;
}) {
	const choices = [
		...(props.all === undefined ? [] : [{ storeId: null, name: props.all }]),
		...props.stores.map(({ storeId, name }) => ({ storeId, name })),
	];
	return (
		<fieldset className="store-switch screen-only" aria-label="Which store">
			{choices.map(({ storeId, name }) => (
				<button
					key={storeId ?? ''}
					type="button"
					aria-pressed={props.value === storeId}
					onClick={() => props.onChange(storeId)}
				>
					{name}
				</button>
			))}
		</fieldset>
	);
}
