import type { ReactNode } from 'react';

/**
 * How the products of a load are told apart: in order of mixing, by pattern; the colour is damson for all, since all come
 * from the store. After eight they repeat; the number beside each keeps them apart.
 */
const COUNT = 8;

/** Fill of the nth product (from 0) within a picture whose patterns carry this id. */
export function productFill(id: string, index: number): string {
	return `url(#${id}-p${index % COUNT})`;
}

/** The pattern definitions of one picture. `id` must be its own: two pictures may stand on one page. */
export function ProductPatterns({ id }: { readonly id: string }) {
	return (
		<>
			{Array.from({ length: COUNT }, (_, index) => (
				// biome-ignore lint/suspicious/noArrayIndexKey: the patterns are a fixed series
				<pattern key={index} id={`${id}-p${index}`} width="8" height="8" patternUnits="userSpaceOnUse">
					<rect width="8" height="8" fill={index === 0 ? 'var(--damson)' : 'var(--damson-tint)'} />
					{drawn(index)}
				</pattern>
			))}
		</>
	);
}

const line = { stroke: 'var(--damson)', strokeWidth: 1.6, fill: 'none' } as const;

function drawn(index: number): ReactNode {
	switch (index) {
		case 2:
			return <path d="M-2 2l4-4M0 8l8-8M6 10l4-4" {...line} />;
		case 3:
			return <circle cx="4" cy="4" r="1.9" fill="var(--damson)" />;
		case 4:
			return <path d="M2 0v8M6 0v8" {...line} />;
		case 5:
			return <path d="M0 2h8M0 6h8" {...line} />;
		case 6:
			return <path d="M0 0l8 8M-2 6l4 4M6-2l4 4M0 8l8-8M-2 2l4-4M6 10l4-4" {...line} />;
		case 7:
			return <path d="M0 0l8 8M-2 6l4 4M6-2l4 4" stroke="var(--damson)" strokeWidth={3} />;
		default:
			return null;
	}
}

/** A small sample of a product's pattern for a table or a legend. */
export function ProductMark({ index }: { readonly index: number }) {
	const id = `mark-${index % COUNT}`;
	return (
		<svg
			width="18"
			height="12"
			viewBox="0 0 18 12"
			aria-hidden="true"
			style={{ verticalAlign: '-1px', marginRight: 8 }}
		>
			<defs>
				<ProductPatterns id={id} />
			</defs>
			<rect
				x="0.75"
				y="0.75"
				width="16.5"
				height="10.5"
				fill={productFill(id, index)}
				stroke="var(--damson)"
				strokeWidth="1.5"
			/>
		</svg>
	);
}
