import { shelvesOf } from '../../../shared/core/store/store-plan.ts';
import { useProcedure } from '../../use-procedure.ts';

export const STORE_PLACES = 'store-places';

/** The shelves of the drawn plan, offered where a place is written: `<TextInput list={STORE_PLACES} />`. */
export function StorePlaces() {
	const watch = useProcedure(['store', 'watch'], (api) => api.store.watch({}));
	return (
		<datalist id={STORE_PLACES}>
			{shelvesOf(watch.answer?.site.plan ?? null).map((shelf) => (
				<option key={shelf} value={shelf} />
			))}
		</datalist>
	);
}
