import type { StockMark } from './stock-course.ts';

/** What moved the stock, told by shape so that it reads in grey: a triangle came in, a dot went out, a square was counted. */
export function StockMarkShape({ mark, x, y }: { readonly mark: StockMark; readonly x: number; readonly y: number }) {
	switch (mark) {
		case 'delivery':
			return <path d={`M${x} ${y - 6}l6 10h-12z`} fill="var(--paper)" stroke="var(--damson)" strokeWidth="1.8" />;
		case 'load':
			return <circle cx={x} cy={y} r="3.2" fill="var(--damson)" />;
		case 'count':
			return (
				<rect x={x - 4.5} y={y - 4.5} width="9" height="9" fill="var(--paper)" stroke="var(--ink)" strokeWidth="1.8" />
			);
		case 'other':
			return <path d={`M${x - 4} ${y - 4}l8 8m0-8l-8 8`} stroke="var(--ink)" strokeWidth="1.8" />;
		case 'edge':
			return null;
	}
}
