import { Button, TextInput } from '@mantine/core';
import {
	type DriftReduction,
	driftReductions,
	type WaterThere,
	type WaterWidth,
	waterWidths,
} from '../../shared/core/limits/margin-kept.ts';
import { type MarginRow, NO_MARGIN } from './margin-rows.ts';
import { Pick } from './pick.tsx';
import { QuantityInput } from './quantity-input.tsx';

const waters = [
	{ value: 'wet', label: 'Wet' },
	{ value: 'dry', label: 'Dry' },
	{ value: 'none', label: 'No water there' },
] as const satisfies readonly { value: WaterThere; label: string }[];
/** Short, so that nothing is cut off beside the cross. */
const widthLabels: Readonly<Record<WaterWidth, string>> = {
	'under 3 m': '< 3 m',
	'3 to 6 m': '3 – 6 m',
	'over 6 m': '> 6 m',
};
const widths = waterWidths.map((value) => ({ value, label: widthLabels[value] }));
const EVERY = 'every field';
const yesNo = [
	{ value: 'yes', label: 'Yes' },
	{ value: 'no', label: 'No' },
] as const;

type Props = {
	readonly rows: readonly MarginRow[];
	readonly onChange: (rows: readonly MarginRow[]) => void;
	/** Where several fields are treated, each margin says on which it lies. */
	readonly fields: readonly { readonly fieldId: string; readonly name: string }[];
	/** Asked where others may enter it than those who looked. */
	readonly asksBy?: boolean;
	/** A label asks for more than 5 m: so is the equipment used near the bank. */
	readonly asksWithin30M: boolean;
};

/** The margins of the treated ground as a person assessed them, one group of entries each. */
export function MarginInputs({ rows, onChange, fields, asksBy = false, asksWithin30M }: Props) {
	const last = rows.findLast(({ water }) => water !== 'none') ?? NO_MARGIN;
	const { driftReduction, pressureFromBar, pressureToBar } = last;
	return (
		<div className="stack">
			{rows.map((row, index) => (
				<OneMargin
					// biome-ignore lint/suspicious/noArrayIndexKey: a margin is its place in the list
					key={index}
					number={rows.length > 1 ? ` ${index + 1}` : ''}
					row={row}
					fields={fields}
					asksBy={asksBy}
					asksWithin30M={asksWithin30M}
					onChange={(part) => onChange(rows.with(index, { ...row, ...part, said: true }))}
					onTakeOff={() => onChange(rows.toSpliced(index, 1))}
				/>
			))}
			{asksWithin30M && rows.some(({ water }) => water !== 'none') && (
				<p className="quiet small">
					Used within 30 m of the bank: equipment with at least 75 % less drift. Asked where a label asks for more than
					5 m; in Great Britain, from memory: look it up.
				</p>
			)}
			<div>
				<Button
					variant="default"
					size="xs"
					onClick={() => onChange([...rows, { ...NO_MARGIN, driftReduction, pressureFromBar, pressureToBar }])}
				>
					{rows.length === 0 ? 'Add a margin' : 'Add another margin'}
				</Button>
			</div>
		</div>
	);
}

function OneMargin(
	props: Beside<Props> & {
		readonly row: MarginRow;
		readonly number: string;
		readonly onChange: (part: Partial<MarginRow>) => void;
		readonly onTakeOff: () => void;
	},
) {
	const { row, number, fields, asksBy, asksWithin30M, onChange } = props;
	const atWater = row.water !== 'none';
	return (
		<fieldset className="group margin-entry">
			<legend className="entry-label row spread">
				<span>Margin{number}</span>
				<Button variant="subtle" size="xs" aria-label={`Take off margin${number}`} onClick={props.onTakeOff}>
					Take off
				</Button>
			</legend>
			<div className="log-lines">
				<TextInput
					className="two-wide"
					label="Which"
					placeholder="e.g. ditch in the north"
					required={row.said}
					maxLength={120}
					value={row.margin}
					onChange={(event) => onChange({ margin: event.currentTarget.value })}
				/>
				{fields.length > 1 && (
					<Pick<string>
						label="On"
						options={[{ fieldId: EVERY, name: 'Every field' }, ...fields].map(({ fieldId, name }) => ({
							value: fieldId,
							label: name,
						}))}
						value={row.fieldId ?? EVERY}
						onChange={(fieldId) => onChange({ fieldId: fieldId === EVERY ? null : fieldId })}
					/>
				)}
				<Pick<WaterThere>
					label="Water"
					placeholder="Not said"
					required={row.said}
					options={waters}
					value={row.water}
					onChange={(water) => onChange({ water })}
				/>
				<QuantityInput
					label="Kept"
					unit="m"
					min={0}
					max={1000}
					required={row.said && atWater}
					value={row.keptM}
					onChange={(keptM) => onChange({ keptM })}
				/>
				{atWater && (
					<>
						<Pick<WaterWidth>
							label="Water width"
							placeholder="Narrowest"
							clearable
							options={widths}
							value={row.width}
							onChange={(width) => onChange({ width })}
						/>
						<DriftReductionPick
							label="Less drift"
							value={row.driftReduction}
							onChange={(driftReduction) => onChange({ driftReduction })}
						/>
						<QuantityInput
							label="Pressure"
							unit="bar"
							min={0.1}
							max={100}
							value={row.pressureFromBar}
							onChange={(pressureFromBar) => onChange({ pressureFromBar })}
						/>
						<QuantityInput
							label="Up to"
							unit="bar"
							min={row.pressureFromBar ?? 0.1}
							max={100}
							value={row.pressureToBar}
							onChange={(pressureToBar) => onChange({ pressureToBar })}
						/>
						{asksWithin30M && (
							<Pick<'yes' | 'no'>
								label="Used within 30 m"
								placeholder="Not said"
								clearable
								options={yesNo}
								value={row.lessDriftWithin30M === null ? null : row.lessDriftWithin30M ? 'yes' : 'no'}
								onChange={(said) => onChange({ lessDriftWithin30M: said && said === 'yes' })}
							/>
						)}
					</>
				)}
				{asksBy && (
					<TextInput
						label="Assessed by"
						maxLength={120}
						placeholder="Who enters it"
						value={row.by}
						onChange={(event) => onChange({ by: event.currentTarget.value })}
					/>
				)}
			</div>
		</fieldset>
	);
}

type Beside<Of> = { readonly [Name in keyof Of as Name extends 'rows' | 'onChange' ? never : Name]: Of[Name] };

const reductions = driftReductions.map((percent) => ({
	value: String(percent),
	label: percent === 0 ? 'None' : `${percent} %`,
}));

/** The drift-reduction class of nozzles. */
export function DriftReductionPick(props: {
	readonly label: string;
	readonly description?: string;
	readonly value: DriftReduction | null;
	readonly onChange: (value: DriftReduction | null) => void;
}) {
	const { value, onChange, ...said } = props;
	return (
		<Pick<string>
			{...said}
			placeholder="Not said"
			clearable
			options={reductions}
			value={value === null ? null : String(value)}
			onChange={(next) => onChange(driftReductions.find((percent) => String(percent) === next) ?? null)}
		/>
	);
}
