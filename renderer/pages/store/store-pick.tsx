import type { Store } from '../../../shared/contract/store-list.ts';
import { Pick } from '../../parts/pick.tsx';
import { useProcedure } from '../../use-procedure.ts';

/** The stores in use, the first on top. */
export function useStores(): readonly Store[] {
	const all = useProcedure(['store', 'stores'], (api) => api.store.stores({})).answer ?? [];
	return all.filter(({ closed }) => !closed);
}

/** What a store is called, where there is more than one to tell apart; otherwise nothing. */
export function useStoreName(): (storeId: string) => string | null {
	const all = useProcedure(['store', 'stores'], (api) => api.store.stores({})).answer ?? [];
	return (storeId) => (all.length > 1 ? (all.find((store) => store.storeId === storeId)?.name ?? null) : null);
}

/** Chooses a store; a farm with one is not asked. */
export function StorePick(props: {
	readonly label: string;
	readonly value: string | null;
	readonly onChange: (storeId: string) => void;
	/** Left out of the list. */
	readonly but?: string | null;
}) {
	const stores = useStores();
	if (stores.length < 2) return null;
	const offered = stores.filter(({ storeId }) => storeId !== props.but);
	return (
		<Pick
			label={props.label}
			options={offered.map(({ storeId, name }) => ({ value: storeId, label: name }))}
			value={props.value ?? offered[0]?.storeId ?? null}
			onChange={(storeId) => storeId && props.onChange(storeId)}
			required
		/>
	);
}
