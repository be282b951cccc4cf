import type { ReactNode } from 'react';

/** An empty page says what belongs here and what to do next. */
export function Empty(props: { readonly title: string; readonly children?: ReactNode; readonly next?: ReactNode }) {
	return (
		<div className="empty">
			<p className="say">{props.title}</p>
			{props.children && <div className="quiet above">{props.children}</div>}
			{props.next && <div className="row">{props.next}</div>}
		</div>
	);
}
