import { expect, test } from 'vitest';
import { z } from 'zod';
import { Instant, LocalDate, Positive, Text, Unit } from '../../../../shared/contract/procedure.ts';

const Order = z.strictObject({
	amount: Positive,
	unit: Unit,
	name: Text,
	date: LocalDate,
	at: Instant.optional(),
	packs: z.array(z.int()).min(1),
});
const good = { amount: 2, unit: 'L', name: 'Haldric', date: '2026-03-31', packs: [5] };

test.each([
	[{ amount: undefined }, 'missing; it must be a number'],
	[{ amount: '2' }, 'must be a number, not "2"'],
	[{ amount: -3 }, 'must be more than 0, not -3'],
	[{ amount: Number.NaN }, 'must be a number, not NaN'],
	[{ unit: 'gal' }, 'must be one of L, kg, not "gal"'],
	[{ unit: undefined }, 'must be one of L, kg'],
	[{ name: '  ' }, 'must not be empty'],
	[{ name: 'n'.repeat(201) }, 'must have at most 200 characters'],
	[{ name: ['n'] }, 'must be text, not a list'],
	[{ date: '31.3.2026' }, 'must be a date like 2026-03-31, not "31.3.2026"'],
	[{ at: 'noon' }, 'must be a date and time like 2026-03-31T07:30, not "noon"'],
	[{ packs: [] }, 'must hold at least 1 of them'],
	[{ packs: [2.5] }, 'must be a whole number, not 2.5'],
	[{ price: 3, vat: 1 }, 'nothing is known here as price, vat; check the spelling'],
])('%o is refused in words', (change, words) => {
	const read = Order.safeParse({ ...good, ...change });
	expect(read.error?.issues.map((issue) => issue.message)).toEqual([words]);
});

test('what is right is read', () => {
	expect(Order.parse(good)).toEqual(good);
});
