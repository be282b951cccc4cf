import type { RecordStored } from '../../db/modules/records.ts';
import { amountOnGround } from '../../shared/core/loads/share-on-ground.ts';
import { fromStockAmount } from '../../shared/units/amount.ts';
import { toHectares } from '../../shared/units/area.ts';
import { recordDetails } from './records.ts';

type Line = Pick<RecordStored, 'amount' | 'treatedM2' | 'washedM2' | 'details' | 'writtenAt'>;

/** Product of a line that lies on its ground, in L or kg: without what of it stayed in sump and lines. */
export function putOnGround(line: Line): number {
	const amount = fromStockAmount(line.amount);
	// Few lines have it: reports over a whole season read a text only where its name stands in it.
	const { stayed } = line.details.includes('"stayed"') ? recordDetails(line) : {};
	return stayed ? amountOnGround(amount, stayed) : amount;
}

/** The dose of a line on the ground it lies on, L or kg per hectare. */
export function dosePut(line: Line): number {
	return putOnGround(line) / toHectares(line.washedM2 ?? line.treatedM2);
}
