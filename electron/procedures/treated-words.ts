import type { RecordLine } from '../../shared/contract/records.ts';
import { perSeedWords } from './job-kinds.ts';
import type { RecordDetails } from './records.ts';

/** The dose on seed: `0.2 L/100 kg`; null where ground was treated. */
export function doseOnSeedWords(seed: RecordLine['seed'], unit: 'L' | 'kg'): string | null {
	return seed && `${Math.round(seed.dose * 1000) / 1000} ${perSeedWords(unit, seed.unit)}`;
}

/** Seed treated by some records together: `5200 kg`, `120 units`, with water `5200 kg, 31 L of water`; null: none. */
export function seedWords(details: readonly Pick<RecordDetails, 'seed'>[]): string | null {
	const seeds = details.flatMap(({ seed }) => (seed === null ? [] : [seed]));
	const [first] = seeds;
	if (!first) return null;
	const amount = seeds.reduce((sum, seed) => sum + seed.amount, 0);
	const words = `${Math.round(amount * 100) / 100} ${first.unit === 'kg' ? 'kg' : 'units'}`;
	if (seeds.every(({ waterL }) => waterL === undefined)) return words;
	const water = seeds.reduce((sum, { waterL = 0 }) => sum + waterL, 0);
	return `${words}, ${Math.round(water * 100) / 100} L of water`;
}

/** The dose in a closed space: `5 mL/m³`; null: something else was treated. */
export function doseInSpaceWords(space: RecordLine['space']): string | null {
	return space && `${Math.round(space.dose.value * 1000) / 1000} ${space.dose.unit}`;
}

/** Of a closed space treated by some records together: `12000 m³`; null: none. */
export function spaceWords(details: readonly Pick<RecordDetails, 'space'>[]): string | null {
	const spaces = details.flatMap(({ space }) => (space === null ? [] : [space]));
	const [first] = spaces;
	if (!first) return null;
	const amount = spaces.reduce((sum, space) => sum + space.amount, 0);
	return `${Math.round(amount * 100) / 100} ${first.unit}`;
}
