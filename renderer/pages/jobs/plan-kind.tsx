import { NativeSelect, SegmentedControl, TextInput } from '@mantine/core';
import { Link } from 'wouter';
import type { Product } from '../../../shared/contract/products.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { type ApplicationKind, applicationKinds, machineFor } from '../../../shared/core/loads/application-kind.ts';
import { type SlurryUnit, slurryUnitsOf } from '../../../shared/core/loads/slurry.ts';
import { kindChoices, machineNames } from '../../kind-words.ts';
import { Choice } from '../../parts/choice.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { CropAndCode } from './crop-and-code.tsx';
import { type CarrierDraft, type PlanDraft, type SeedDraft, withoutDoses } from './plan-draft.ts';

type Change = (part: Partial<PlanDraft>) => void;

/** How the products are brought out. Most jobs are sprayed in water, so that is what stands. */
export function PlanKind(props: {
	readonly draft: PlanDraft;
	readonly sprayers: readonly Sprayer[];
	readonly products: readonly Product[];
	readonly onChange: Change;
}) {
	const { draft } = props;
	const needed = machineFor(draft.kind);
	return (
		<div className="plan-kind">
			<SegmentedControl<ApplicationKind>
				aria-label="How it is brought out"
				size="sm"
				fullWidth
				data={applicationKinds.map((value) => ({ value, label: kindChoices[value] }))}
				value={draft.kind}
				onChange={(kind) => props.onChange(asKind(draft, kind, props))}
			/>
			{!props.sprayers.some(({ kind }) => kind === needed) && (
				<p className="notice above-small" role="status">
					<span className="word">First</span>
					<span>
						No {machineNames[needed].toLowerCase()} is on the books. What it holds decides how the job is split.{' '}
						<Link href="/sprayers">Put one on the books.</Link>
					</span>
				</p>
			)}
		</div>
	);
}

/** The same plan brought out another way: with a machine for it, and doses in its units. */
export function asKind(
	draft: PlanDraft,
	kind: ApplicationKind,
	{ sprayers, products }: { readonly sprayers: readonly Sprayer[]; readonly products: readonly Product[] },
): Partial<PlanDraft> {
	const fitting = sprayers.filter((machine) => machine.kind === machineFor(kind));
	const kept = fitting.find(({ id }) => id === draft.sprayerId);
	const only = fitting.length === 1 ? fitting[0] : undefined;
	const changes = offGround(kind) !== offGround(draft.kind);
	return {
		kind,
		sprayerId: (kept ?? only)?.id ?? null,
		products: changes ? withoutDoses({ ...draft, kind }, products).products : draft.products,
	};
}

/** Kinds whose doses are in units of their own. */
function offGround(kind: ApplicationKind): ApplicationKind | null {
	return kind === 'seed treatment' || kind === 'closed space' ? kind : null;
}

/** The liquid fertiliser that fills the tank: from the store, or bulk that is only noted. */
export function PlanCarrier(props: {
	readonly carrier: CarrierDraft;
	readonly products: readonly Product[];
	readonly onChange: (part: Partial<CarrierDraft>) => void;
}) {
	const { carrier, products, onChange } = props;
	const fertilisers = products.filter(({ kind }) => kind === 'liquid fertiliser');
	const chosen = fertilisers.find(({ id }) => id === carrier.productId);
	const isBulk = carrier.from === 'bulk' || fertilisers.length === 0;
	return (
		<>
			<h2>Liquid fertiliser in the tank</h2>
			{fertilisers.length > 0 && (
				<Choice
					legend={<span className="visually-hidden">Where the fertiliser comes from</span>}
					value={carrier.from}
					onChange={(from) => onChange({ from })}
					options={[
						{ value: 'store', label: 'From the store', detail: 'drawn and recorded with the load' },
						{ value: 'bulk', label: 'Bulk that is not in the store', detail: 'noted on the card and the records' },
					]}
				/>
			)}
			<div className="pair above-small">
				{isBulk ? (
					<TextInput
						label="Fertiliser"
						required
						maxLength={120}
						value={carrier.name}
						onChange={(event) => onChange({ name: event.currentTarget.value })}
					/>
				) : (
					<Pick
						label="Fertiliser"
						required
						options={fertilisers.map(({ id, name }) => ({ value: id, label: name }))}
						value={carrier.productId}
						onChange={(productId) => onChange({ productId })}
					/>
				)}
				<QuantityInput
					label="Density"
					unit="kg/L"
					required={isBulk || chosen?.relativeDensity == null}
					min={0.5}
					max={3}
					description="On the delivery note"
					placeholder={!isBulk && chosen?.relativeDensity != null ? String(chosen.relativeDensity) : ''}
					value={carrier.densityKgPerL}
					onChange={(densityKgPerL) => onChange({ densityKgPerL })}
				/>
				<QuantityInput
					label="Fertiliser on one hectare"
					unit="L/ha"
					min={0.1}
					description="Left empty: all but the products"
					value={carrier.lPerHa}
					onChange={(lPerHa) => onChange({ lPerHa })}
				/>
			</div>
		</>
	);
}

/** The seed that is treated. */
export function PlanSeed(props: { readonly seed: SeedDraft; readonly onChange: (part: Partial<SeedDraft>) => void }) {
	const { seed, onChange } = props;
	return (
		<>
			<h2>Seed</h2>
			<div className="pair">
				<QuantityInput
					label="Seed"
					unit={seed.unit === 'kg' ? 'kg' : 'units'}
					required
					min={0.001}
					value={seed.amount}
					onChange={(amount) => onChange({ amount })}
				/>
				<div>
					<span className="entry-label" id="seed-unit">
						Counted in
					</span>
					<SegmentedControl<SeedDraft['unit']>
						fullWidth
						aria-labelledby="seed-unit"
						data={[
							{ value: 'kg', label: 'kg' },
							{ value: 'unit', label: 'units' },
						]}
						value={seed.unit}
						onChange={(unit) => onChange({ unit })}
					/>
				</div>
				<CropAndCode of={seed} label="Crop" onChange={onChange} />
				<TextInput
					label="Lot"
					maxLength={60}
					value={seed.lot}
					onChange={(event) => onChange({ lot: event.currentTarget.value })}
				/>
				<div className="with-unit">
					<QuantityInput
						label="Slurry volume"
						min={0.000001}
						value={seed.slurry}
						onChange={(slurry) => onChange({ slurry })}
					/>
					<NativeSelect
						aria-label="Unit of the slurry volume"
						data={[...slurryUnitsOf(seed.unit)]}
						value={seed.slurryUnit}
						onChange={(event) => onChange({ slurryUnit: event.currentTarget.value as SlurryUnit })}
					/>
				</div>
			</div>
			<p className="quiet small above-small">
				Slurry volume: products and water together, as the label or the treater asks. Left empty, no water goes on.
			</p>
		</>
	);
}
