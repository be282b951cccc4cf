import { TextInput } from '@mantine/core';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type MachineKind, machineFor } from '../../../shared/core/loads/application-kind.ts';
import { figure } from '../../format.ts';
import { machineNames } from '../../kind-words.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { type Units, useUnits } from '../../units.ts';
import { StorePick } from '../store/store-pick.tsx';
import { isSprayed, type PlanDraft } from './plan-draft.ts';

type Props = {
	readonly draft: PlanDraft;
	readonly sprayers: readonly Sprayer[];
	readonly onChange: (part: Partial<PlanDraft>) => void;
};

/** With which sprayer, how much water, when, why, by whom; as usually driven unless it is said otherwise. */
export function PlanHow({ draft, sprayers, onChange }: Props) {
	const farmUnits = useUnits();
	const machine = machineFor(draft.kind);
	const fitting = sprayers.filter(({ kind }) => kind === machine);
	const sprayer = fitting.find(({ id }) => id === draft.sprayerId);
	const isSprayer = machine === 'sprayer';
	const onGround = machine !== 'seed treater' && machine !== 'indoor applicator';
	return (
		<>
			<h2>{machineNames[machine]} and day</h2>
			<div className="pair">
				<Pick
					label={machineNames[machine]}
					required
					options={fitting.map(({ id, name }) => ({ value: id, label: name }))}
					description={sprayer ? holdsWords(sprayer, farmUnits) : undefined}
					value={draft.sprayerId}
					onChange={(sprayerId) => onChange({ sprayerId })}
				/>
				{isSprayed(draft.kind) && (
					<QuantityInput
						label="Spray volume"
						unit="L/ha"
						required
						min={1}
						max={5000}
						value={draft.sprayVolumeLPerHa}
						onChange={(sprayVolumeLPerHa) => onChange({ sprayVolumeLPerHa })}
					/>
				)}
				<DateInput
					label={isSprayer ? 'Spray date' : 'Date'}
					required
					value={draft.date}
					onChange={(date) => onChange({ date })}
				/>
			</div>
			<div className="pair above">
				<Text
					label="Reason"
					hint="Pest, weed or disease"
					most={300}
					value={draft.reason}
					onChange={(reason) => onChange({ reason })}
				/>
				{onGround && (
					<Text
						label="Growth stage"
						hint="BBCH"
						most={20}
						value={draft.growthStage}
						onChange={(growthStage) => onChange({ growthStage })}
					/>
				)}
				<Text label="Operator" most={120} value={draft.operator} onChange={(operator) => onChange({ operator })} />
				<StorePick label="Draws from" value={draft.storeId} onChange={(storeId) => onChange({ storeId })} />
			</div>
			<details className="more above">
				<summary>
					{moreWords[machine]}
					{isSprayer && sprayer && <span className="quiet"> · {usually(sprayer, farmUnits)}</span>}
				</summary>
				<div className="pair">
					<Text
						label="Name of the job"
						hint="Left empty: crop and products"
						most={120}
						value={draft.name}
						onChange={(name) => onChange({ name })}
					/>
					<Text
						label="Customer"
						hint="Contract work: for whom"
						most={120}
						value={draft.customer}
						onChange={(customer) => onChange({ customer })}
					/>
					{isSprayer && (
						<>
							<Text
								label="Nozzle"
								usual={sprayer?.nozzle}
								most={60}
								value={draft.nozzle}
								onChange={(nozzle) => onChange({ nozzle })}
							/>
							<Figure
								label="Pressure"
								unit="bar"
								usual={sprayer?.pressureBar}
								value={draft.pressureBar}
								onChange={(pressureBar) => onChange({ pressureBar })}
							/>
						</>
					)}
					{onGround && (
						<Figure
							label="Speed"
							unit="km/h"
							usual={sprayer?.speedKmh}
							value={draft.speedKmh}
							onChange={(speedKmh) => onChange({ speedKmh })}
						/>
					)}
					{isSprayer && (
						<Figure
							label="Boom height"
							unit="m"
							usual={sprayer?.boomHeightM}
							value={draft.boomHeightM}
							onChange={(boomHeightM) => onChange({ boomHeightM })}
						/>
					)}
					{onGround && (
						<Figure
							label="Strip kept"
							unit="m"
							hint="To water or other margins"
							value={draft.bufferM}
							onChange={(bufferM) => onChange({ bufferM })}
						/>
					)}
					{draft.kind === 'granules' && (
						<Figure
							label="Left in the hopper"
							unit="kg"
							hint="Of this same product"
							value={draft.leftInHopperKg}
							onChange={(leftInHopperKg) => onChange({ leftInHopperKg })}
						/>
					)}
					{isSprayer && (
						<Figure
							label="Left in the tank"
							unit="L"
							hint="Of this same mix"
							value={draft.leftInTankL}
							onChange={(leftInTankL) => onChange({ leftInTankL })}
						/>
					)}
				</div>
			</details>
		</>
	);
}

const moreWords: Readonly<Record<MachineKind, string>> = {
	sprayer: 'Name, customer, nozzle, pressure, speed, buffer, mix left in the tank',
	'granule applicator': 'Name, customer, speed, buffer, what is left in the hopper',
	'seed treater': 'Name, customer',
	'indoor applicator': 'Name, customer',
};

function Text(props: {
	readonly label: string;
	readonly hint?: string;
	readonly usual?: string | undefined;
	readonly most: number;
	readonly value: string;
	readonly onChange: (value: string) => void;
}) {
	return (
		<TextInput
			label={props.label}
			description={props.hint}
			maxLength={props.most}
			autoComplete="off"
			placeholder={props.usual ?? ''}
			value={props.value}
			onChange={(event) => props.onChange(event.currentTarget.value)}
		/>
	);
}

function Figure(props: {
	readonly label: string;
	readonly unit: string;
	readonly hint?: string;
	readonly usual?: number | undefined;
	readonly value: number | null;
	readonly onChange: (value: number | null) => void;
}) {
	return (
		<QuantityInput
			label={props.label}
			unit={props.unit}
			description={props.hint}
			min={props.label === 'Strip kept' || props.label.startsWith('Left in') ? 0 : 0.01}
			placeholder={props.usual === undefined ? '' : String(props.usual)}
			value={props.value}
			onChange={props.onChange}
		/>
	);
}

function holdsWords({ kind, capacityL, hopperKg }: Sprayer, farmUnits: Units): string | undefined {
	if (kind === 'indoor applicator') return capacityL > 0 ? `tank ${farmUnits.volume(capacityL)}` : undefined;
	if (kind === 'sprayer') return `tank ${farmUnits.volume(capacityL)}`;
	if (hopperKg === null) return 'any amount in one go';
	return farmUnits.say(kind === 'seed treater' ? `batches of ${figure(hopperKg)} kg` : `hopper ${figure(hopperKg)} kg`);
}

function usually({ nozzle, pressureBar, speedKmh }: Sprayer, { say }: Units): string {
	const parts = [
		nozzle,
		pressureBar === undefined ? undefined : say(`${figure(pressureBar, 1)} bar`),
		speedKmh === undefined ? undefined : say(`${figure(speedKmh, 1)} km/h`),
	].filter((part) => part !== undefined && part !== '');
	return parts.length > 0 ? `usually ${parts.join(', ')}` : 'nothing usual is on the books';
}
