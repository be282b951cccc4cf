import { shelvesOf } from '../../../shared/core/store/store-plan.ts';
import { useStores } from './store-pick.tsx';

export const STORE_PLACES = 'store-places';

/** The shelves of the drawn plan of a store, else of the first, offered where a place is written: `<TextInput list={STORE_PLACES} />`. */
export function StorePlaces({ storeId }: { readonly storeId?: string }) {
	const stores = useStores();
	const store = stores.find((each) => each.storeId === storeId) ?? stores[0];
	return (
		<datalist id={STORE_PLACES}>
			{shelvesOf(store?.plan ?? null).map((shelf) => (
				<option key={shelf} value={shelf} />
			))}
		</datalist>
	);
}
