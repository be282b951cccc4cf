import { Textarea } from '@mantine/core';
import { useDebouncedValue } from '@mantine/hooks';
import { useState } from 'react';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { readQuantity } from '../../parts/quantity.ts';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { NozzlePicture } from './nozzle-picture.tsx';
import { type Result, Results, useFigures } from './sums.tsx';

/** Speed, nozzle output and spray volume from each other, and the check of the nozzles one by one. */
export function Calibration({ sprayer }: { readonly sprayer: Sprayer }) {
	const { say } = useUnits();
	const { entry, field } = useFigures<keyof Entry>({
		speedKmh: sprayer.speedKmh ?? null,
		distanceM: null,
		timeS: null,
		sprayVolumeLPerHa: null,
		nozzleLPerMin: null,
		nominalLPerMin: null,
		pressureBar: sprayer.pressureBar ?? null,
		targetPressureBar: null,
	});
	const [catches, setCatches] = useState('');
	const read = readCatches(catches);
	const [asked] = useDebouncedValue({ ...entry, catches: read.values }, 250);
	const ready = Object.values(entry).some((value) => value !== null) || read.values.length > 0;
	const sums = useProcedure(
		['calibrate', sprayer.nozzleSpacingM, asked],
		(api) => api.sprayers.calibrate(inputOf(sprayer, asked)),
		{ enabled: ready, keepPrevious: true },
	);
	const { answer } = sums;
	return (
		<>
			<h2>Calibration</h2>
			<p className="quiet">Enter what is known; the rest follows. Spacing {say(`${sprayer.nozzleSpacingM} m`)}.</p>
			<div className="pair above">
				{field('speedKmh', 'Speed', 'km/h')}
				{field('distanceM', 'or: distance', 'm')}
				{field('timeS', 'in', 's')}
				{field('sprayVolumeLPerHa', 'Spray volume', 'L/ha')}
				{field('nozzleLPerMin', 'One nozzle', 'L/min')}
				{field('nominalLPerMin', 'Nominal', 'L/min')}
				{field('pressureBar', 'At pressure', 'bar')}
				{field('targetPressureBar', 'Wanted pressure', 'bar')}
			</div>
			<div className="above">
				<Textarea
					label="Caught at each nozzle"
					description="L/min, left to right, parted by spaces or lines"
					autosize
					minRows={2}
					value={catches}
					error={read.trouble || undefined}
					onChange={(event) => setCatches(event.currentTarget.value)}
				/>
			</div>
			<div className="above stack" aria-live="polite">
				<ProblemNotice problem={sums.problem} />
				{answer && <Results results={results(answer)} />}
				{answer?.nozzles && answer.nozzles.length > 0 && <NozzlePicture nozzles={answer.nozzles} />}
			</div>
		</>
	);
}

type Entry = {
	readonly speedKmh: number | null;
	readonly distanceM: number | null;
	readonly timeS: number | null;
	readonly sprayVolumeLPerHa: number | null;
	readonly nozzleLPerMin: number | null;
	readonly nominalLPerMin: number | null;
	readonly pressureBar: number | null;
	readonly targetPressureBar: number | null;
};

/** Distance and time win over a typed speed: they were measured. */
function inputOf(sprayer: Sprayer, asked: Entry & { readonly catches: readonly number[] }) {
	const { catches, ...figures } = asked;
	const measured = figures.distanceM !== null && figures.timeS !== null;
	const known = Object.entries(figures).filter(([key, value]) => value !== null && !(measured && key === 'speedKmh'));
	return {
		spacingM: sprayer.nozzleSpacingM,
		...(Object.fromEntries(known) as { [Key in keyof Entry]?: number }),
		...(catches.length > 0 ? { catchesLPerMin: [...catches] } : {}),
	};
}

function results(answer: {
	readonly speedKmh?: number | undefined;
	readonly nozzleLPerMin?: number | undefined;
	readonly sprayVolumeLPerHa?: number | undefined;
	readonly measuredSprayVolumeLPerHa?: number | undefined;
	readonly flowAtTargetLPerMin?: number | undefined;
	readonly pressureNeededBar?: number | undefined;
}): Result[] {
	const all: [string, number | undefined, string, number][] = [
		['speed', answer.speedKmh, 'km/h', 1],
		['one nozzle', answer.nozzleLPerMin, 'L/min', 2],
		['spray volume', answer.sprayVolumeLPerHa, 'L/ha', 0],
		['spray volume as caught', answer.measuredSprayVolumeLPerHa, 'L/ha', 0],
		['at the wanted pressure', answer.flowAtTargetLPerMin, 'L/min', 2],
		['pressure needed', answer.pressureNeededBar, 'bar', 1],
	];
	return all.flatMap(([name, value, unit, decimals]) =>
		value === undefined ? [] : [[name, value, unit, decimals] as const],
	);
}

function readCatches(text: string): { values: number[]; trouble: string } {
	const parts = text.split(/[\s;]+/).filter((part) => part !== '');
	const values: number[] = [];
	for (const part of parts) {
		const read = readQuantity(part);
		if (read.state !== 'read' || read.value < 0) return { values: [], trouble: `${part} is not an output in L/min` };
		values.push(read.value);
	}
	return { values, trouble: '' };
}
