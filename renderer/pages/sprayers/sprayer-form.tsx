import { Button, SegmentedControl, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type MachineKind, machineKinds } from '../../../shared/core/loads/application-kind.ts';
import { machineNames } from '../../kind-words.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { DriftReductionPick } from '../../parts/margin-inputs.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand } from '../../use-procedure.ts';

type Figures = Omit<
	Sprayer,
	'id' | 'version' | 'name' | 'kind' | 'nozzle' | 'driftReduction' | 'testedOn' | 'testDueOn' | 'rinsesS' | 'rinseFrom'
>;
type Draft = { readonly [Key in keyof Figures]: number | null };

const blank: Draft = {
	capacityL: null,
	minimumL: null,
	hopperKg: null,
	unsprayableL: 0,
	boomWidthM: null,
	nozzleSpacingM: 0.5,
	pressureBar: null,
	speedKmh: null,
	boomHeightM: null,
	inflowLPerMin: 200,
	startL: null,
	openAndPourS: 18,
	drainS: 0,
	rinseLPerMin: 10,
	closeReserveL: 100,
	valveRunOnL: 0,
};

type Entry = {
	readonly key: keyof Draft;
	readonly label: string;
	readonly unit: string;
	readonly hint?: string;
	readonly required?: boolean;
	readonly min?: number;
};

const tank: readonly Entry[] = [
	{ key: 'capacityL', label: 'Tank', unit: 'L', hint: 'Nominal volume', required: true, min: 1 },
	{ key: 'minimumL', label: 'Smallest load', unit: 'L', hint: 'That still agitates', required: true },
	{ key: 'unsprayableL', label: 'Stays in sump and lines', unit: 'L', required: true },
	{ key: 'boomWidthM', label: 'Boom', unit: 'm', min: 0.1 },
];
const applicator: readonly Entry[] = [
	{ key: 'hopperKg', label: 'Hopper', unit: 'kg', hint: 'Granules it holds', required: true, min: 1 },
	{ key: 'boomWidthM', label: 'Working width', unit: 'm', min: 0.1 },
	{ key: 'speedKmh', label: 'Speed', unit: 'km/h', min: 0.1 },
];
const treater: readonly Entry[] = [
	{ key: 'hopperKg', label: 'One batch', unit: 'kg', hint: 'Left empty: any amount in one go', min: 1 },
];
const indoor: readonly Entry[] = [
	{ key: 'capacityL', label: 'Tank', unit: 'L', hint: 'A mix above it is split into fills; empty: none', min: 0.1 },
];
const usual: readonly Entry[] = [
	{ key: 'nozzleSpacingM', label: 'Nozzle spacing', unit: 'm', required: true, min: 0.05 },
	{ key: 'pressureBar', label: 'Pressure', unit: 'bar', min: 0.1 },
	{ key: 'speedKmh', label: 'Speed', unit: 'km/h', min: 0.1 },
	{ key: 'boomHeightM', label: 'Boom height', unit: 'm', min: 0.05 },
];
const filling: readonly Entry[] = [
	{
		key: 'inflowLPerMin',
		label: 'Water comes in at',
		unit: 'L/min',
		hint: 'Where it is filled',
		required: true,
		min: 0.1,
	},
	{ key: 'startL', label: 'First container at', unit: 'L', hint: 'Left empty: half the load' },
	{
		key: 'closeReserveL',
		label: 'Done before full by',
		unit: 'L',
		hint: 'Last container rinsed by then',
		required: true,
	},
	{ key: 'valveRunOnL', label: 'Valve runs on', unit: 'L', hint: 'After it is shut', required: true },
	{ key: 'openAndPourS', label: 'Open and pour', unit: 's', hint: 'One container', required: true },
	{ key: 'drainS', label: 'Drain', unit: 's', hint: '0 with a rack', required: true },
	{ key: 'rinseLPerMin', label: 'Rinse water', unit: 'L/min', required: true },
];

/** Enters a sprayer; what fills faster or slower shows at once in every fill. */
export function SprayerForm(props: {
	readonly sprayer: Sprayer | null;
	readonly onClose: () => void;
	readonly onSaved: (id: string) => void;
}) {
	const { sprayer } = props;
	const [kind, setKind] = useState<MachineKind>(sprayer?.kind ?? 'sprayer');
	const [name, setName] = useState(sprayer?.name ?? '');
	const [nozzle, setNozzle] = useState(sprayer?.nozzle ?? '');
	const [driftReduction, setDriftReduction] = useState(sprayer?.driftReduction ?? null);
	const [draft, setDraft] = useState<Draft>(sprayer ? draftOf(sprayer) : blank);
	const [rinses, setRinses] = useState<number | null>(sprayer?.rinsesS.length ?? 3);
	const [rinseS, setRinseS] = useState<number | null>(meanRinse(sprayer));
	const [rinseFrom, setRinseFrom] = useState(sprayer?.rinseFrom ?? 'inlet');
	const [testedOn, setTestedOn] = useState(sprayer?.testedOn ?? null);
	const [testDueOn, setTestDueOn] = useState(sprayer?.testDueOn ?? null);
	const save = useCommand(
		async (api, _: null, key) => {
			const entry = {
				...figuresOf(draft),
				hopperKg: draft.hopperKg,
				kind,
				name,
				rinsesS: rinsesOf(sprayer, rinses ?? 0, rinseS ?? 0),
				rinseFrom,
				...(nozzle.trim() !== '' || sprayer?.nozzle !== undefined ? { nozzle } : {}),
				...(driftReduction === null ? {} : { driftReduction }),
				...(testedOn ? { testedOn } : {}),
				...(testDueOn ? { testDueOn } : {}),
			};
			return sprayer
				? api.sprayers.update({ key, id: sprayer.id, version: sprayer.version, ...entry })
				: api.sprayers.add({ key, ...entry });
		},
		({ id }) => {
			props.onSaved(id);
			props.onClose();
		},
	);

	function submit(): void {
		save.run(null);
	}

	const entries = (list: readonly Entry[]) =>
		list.map((entry) => (
			<QuantityInput
				key={entry.key}
				label={entry.label}
				unit={entry.unit}
				min={entry.min ?? 0}
				required={entry.required ?? false}
				{...(entry.hint === undefined ? {} : { description: entry.hint })}
				value={draft[entry.key] ?? null}
				onChange={(value) => setDraft((now) => ({ ...now, [entry.key]: value }))}
			/>
		));
	return (
		<EntryForm
			command={save}
			onSubmit={submit}
			foot={
				<>
					<Button variant="default" onClick={props.onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						{sprayer ? 'Save the change' : 'Put it on the books'}
					</Button>
				</>
			}
		>
			{sprayer === null && (
				<SegmentedControl<MachineKind>
					aria-label="What it is"
					data={machineKinds.map((value) => ({ value, label: machineNames[value] }))}
					value={kind}
					onChange={setKind}
				/>
			)}
			<TextInput
				label="Name"
				required
				data-autofocus
				maxLength={200}
				value={name}
				onChange={(event) => setName(event.currentTarget.value)}
			/>
			{kind === 'granule applicator' && <div className="pair">{entries(applicator)}</div>}
			{kind === 'seed treater' && <div className="pair">{entries(treater)}</div>}
			{kind === 'indoor applicator' && <div className="pair">{entries(indoor)}</div>}
			{kind === 'sprayer' && (
				<>
					<div className="pair">{entries(tank)}</div>
					<h2>As usually driven</h2>
					<div className="pair">
						<TextInput
							className="two-wide"
							label="Nozzles"
							description="Size and type"
							maxLength={60}
							value={nozzle}
							onChange={(event) => setNozzle(event.currentTarget.value)}
						/>
						<DriftReductionPick label="Less drift by these" value={driftReduction} onChange={setDriftReduction} />
						{entries(usual)}
					</div>
					<h2>Filling</h2>
					<div className="pair">
						{entries(filling)}
						<QuantityInput
							label="Rinses"
							whole
							min={0}
							max={10}
							required
							description="Of each container"
							value={rinses}
							onChange={setRinses}
						/>
						<QuantityInput label="One rinse" unit="s" min={0} required value={rinseS} onChange={setRinseS} />
					</div>
					<Choice
						legend="Rinse water from"
						value={rinseFrom}
						onChange={setRinseFrom}
						options={[
							{ value: 'inlet', label: 'the inlet', detail: 'counts within the metered water' },
							{
								value: 'clean tank',
								label: 'the clean water tank',
								detail: 'comes on top; the inlet is metered that much less',
							},
						]}
					/>
				</>
			)}
			{kind === 'indoor applicator' && (
				<p className="quiet">
					A fogger, a hand-held sprayer, a doser at the conveyor. For smokes and tablets that need none, put “by hand”
					on the books.
				</p>
			)}
			{kind !== 'seed treater' && (
				<>
					<h2>{kind === 'sprayer' ? 'Sprayer test' : 'Test'}</h2>
					<div className="pair">
						<DateInput label="Last test" value={testedOn} onChange={setTestedOn} />
						<DateInput label="Next test due" value={testDueOn} onChange={setTestDueOn} />
					</div>
				</>
			)}
		</EntryForm>
	);
}

function draftOf(sprayer: Sprayer): Draft {
	return Object.fromEntries((Object.keys(blank) as (keyof Draft)[]).map((key) => [key, sprayer[key] ?? null])) as Draft;
}

function figuresOf(draft: Draft): { [Key in keyof Draft]?: number } {
	return Object.fromEntries(Object.entries(draft).filter(([, value]) => value !== null));
}

/** Rinses that were entered one by one elsewhere stay as they are, unless number or time is changed here. */
function rinsesOf(sprayer: Sprayer | null, many: number, each: number): number[] {
	const before = sprayer?.rinsesS;
	if (before && before.length === many && meanRinse(sprayer) === each) return [...before];
	return Array.from({ length: many }, () => each);
}

function meanRinse(sprayer: Sprayer | null): number {
	const rinses = sprayer?.rinsesS ?? [10];
	return rinses.length === 0 ? 10 : Math.round(rinses.reduce((sum, each) => sum + each, 0) / rinses.length);
}
