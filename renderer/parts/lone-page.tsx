import type { ReactNode } from 'react';
import { ColourSwitch } from './shell.tsx';
import './lone-page.css';

/** A page without chapters: before a book is open, or where it cannot be opened. */
export function LonePage({ stacked = false, children }: { readonly stacked?: boolean; readonly children: ReactNode }) {
	return (
		<main className="lone">
			<header>
				<b>Fillmark</b>
				<ColourSwitch />
			</header>
			<div className={stacked ? 'lone-sheet stack' : 'lone-sheet'}>{children}</div>
		</main>
	);
}
