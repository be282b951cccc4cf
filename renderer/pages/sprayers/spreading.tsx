import { useDebouncedValue } from '@mantine/hooks';
import { useState } from 'react';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { figure } from '../../format.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';

type Entry = {
	readonly [Key in 'caughtKg' | 'widthM' | 'distanceM' | 'speedKmh' | 'timeS' | 'targetKgPerHa']: number | null;
};

/** The rate of an applicator from what it gave on a run, or standing as long as the run takes. */
export function Spreading({ machine }: { readonly machine: Sprayer }) {
	const [entry, setEntry] = useState<Entry>({
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
	const field = (key: keyof Entry, label: string, unit: string) => (
		<QuantityInput
			key={key}
			label={label}
			unit={unit}
			min={0.0001}
			value={entry[key]}
			onChange={(value) => setEntry((now) => ({ ...now, [key]: value }))}
		/>
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
				{ready && answer && (
					<div className="two-figures">
						<Result name="rate" value={figure(answer.kgPerHa, 2)} unit="kg/ha" />
						<Result name="on" value={figure(answer.areaHa, 3)} unit="ha" />
						{answer.fromTargetPercent !== undefined && (
							<Result name="from what is wanted" value={signed(answer.fromTargetPercent)} unit="%" />
						)}
						{answer.targetKg !== undefined && (
							<Result name="the run should give" value={figure(answer.targetKg, 3)} unit="kg" />
						)}
					</div>
				)}
			</div>
		</>
	);
}

function Result({ name, value, unit }: { readonly name: string; readonly value: string; readonly unit: string }) {
	return (
		<div>
			<span className="quiet small">{name}</span>
			<div className="big-figure">
				{value}
				<small>{unit}</small>
			</div>
		</div>
	);
}

function signed(percent: number): string {
	return `${percent > 0 ? '+' : percent < 0 ? '−' : ''}${figure(Math.abs(percent), 1)}`;
}
