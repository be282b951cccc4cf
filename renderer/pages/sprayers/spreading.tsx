import { useDebouncedValue } from '@mantine/hooks';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import type { SpreadingOutput } from '../../../shared/contract/sprayers-pure.ts';
import { figure } from '../../format.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { type Result, Results, useFigures } from './sums.tsx';

type Entry = {
	readonly [Key in 'caughtKg' | 'widthM' | 'distanceM' | 'speedKmh' | 'timeS' | 'targetKgPerHa']: number | null;
};

/** The rate of an applicator from what it gave on a run, or standing as long as the run takes. */
export function Spreading({ machine }: { readonly machine: Sprayer }) {
	const { entry, field } = useFigures<keyof Entry>({
		caughtKg: null,
		widthM: machine.boomWidthM ?? null,
		distanceM: null,
		speedKmh: machine.speedKmh ?? null,
		timeS: null,
		targetKgPerHa: null,
	});
	const [asked] = useDebouncedValue(entry, 250);
	const given = Object.fromEntries(Object.entries(asked).filter(([, value]) => value !== null)) as {
		[Key in keyof Entry]?: number;
	};
	const { caughtKg, widthM, ...rest } = given;
	const ready =
		caughtKg !== undefined && widthM !== undefined && (rest.distanceM !== undefined || rest.timeS !== undefined);
	const sums = useProcedure(
		['spreading rate', asked],
		(api) => api.sprayers.spreadingRate({ caughtKg: caughtKg ?? 0, widthM: widthM ?? 0, ...rest }),
		{ enabled: ready, keepPrevious: true },
	);
	const { answer } = sums;
	return (
		<>
			<h2>Calibration</h2>
			<p className="quiet">
				Catch what comes out on a run, or standing for as long as the run takes. With this product, on this day.
			</p>
			<div className="pair above">
				{field('caughtKg', 'Caught', 'kg')}
				{field('widthM', 'Width of one pass', 'm')}
				{field('distanceM', 'Distance', 'm')}
				{field('speedKmh', 'or: speed', 'km/h')}
				{field('timeS', 'for', 's')}
				{field('targetKgPerHa', 'Wanted', 'kg/ha')}
			</div>
			<div className="above stack" aria-live="polite">
				{ready && <ProblemNotice problem={sums.problem} />}
				{ready && answer && <Results results={results(answer)} />}
			</div>
		</>
	);
}

function results(answer: SpreadingOutput): Result[] {
	const { kgPerHa, areaHa, fromTargetPercent, targetKg } = answer;
	return [
		['rate', kgPerHa, 'kg/ha', 2],
		['on', areaHa, 'ha', 3],
		...(fromTargetPercent === undefined ? [] : [['from what is wanted', signed(fromTargetPercent), '%'] as const]),
		...(targetKg === undefined ? [] : [['the run should give', targetKg, 'kg', 3] as const]),
	];
}

function signed(percent: number): string {
	return `${percent > 0 ? '+' : percent < 0 ? '−' : ''}${figure(Math.abs(percent), 1)}`;
}
