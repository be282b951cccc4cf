import type { BackgroundLayer } from '../../shared/core/map/background-layer.ts';

/** The line the provider of a background asks for; where its server does not answer, that is said here, once. */
export function BackgroundCredit(props: { readonly background: BackgroundLayer | null; readonly reached: boolean }) {
	if (!props.background) return null;
	return (
		<p className="map-credit" role="status">
			{props.reached ? props.background.credit : 'The background cannot be reached. The fields are all here.'}
		</p>
	);
}
