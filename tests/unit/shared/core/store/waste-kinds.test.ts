import { expect, test } from 'vitest';
import { keepUntil } from '../../../../../shared/core/store/waste-kinds.ts';

test('papers are kept 2 years for a transfer note, 3 for a consignment note, the longest counts (NetRegs)', () => {
	expect([
		keepUntil('2026-11-30', ['rinsed containers']),
		keepUntil('2026-11-30', ['rinsed containers', 'product']),
		keepUntil('2028-02-29', ['rinsed containers']),
		keepUntil('2028-02-29', ['unrinsed containers']),
	]).toEqual(['2028-11-30', '2029-11-30', '2030-03-01', '2031-03-01']);
});
