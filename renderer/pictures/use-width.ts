import { useElementSize } from '@mantine/hooks';
import type { RefCallback } from 'react';

const NARROWEST = 280;
const WIDEST = 900;

/** The room a picture has: drawn at its true size, so that letters stay readable. `fixed` for paper. */
export function usePictureWidth(
	fixed: number | undefined,
	usual: number,
): { ref: RefCallback<HTMLDivElement>; width: number } {
	const { ref, width } = useElementSize<HTMLDivElement>();
	const room = fixed ?? (width > 0 ? width : usual);
	return { ref, width: Math.round(Math.max(NARROWEST, Math.min(WIDEST, room))) };
}
