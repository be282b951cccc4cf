import { Button } from '@mantine/core';
import { useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import type { Proposal } from './sprayed-passes.tsx';

type Basis = NonNullable<FieldDetail['field']['loadForBasis']>;
type Props = {
	readonly detail: FieldDetail;
	readonly opened: boolean;
	/** What the sprayer's areas propose, to be looked at and accepted. */
	readonly proposal?: Proposal | undefined;
	readonly onClose: () => void;
};

/** Decides which of the areas the tank is loaded for; the reason is kept with it. */
export function AreaDialog({ detail, opened, proposal, onClose }: Props) {
	return (
		<Dialog title={`${detail.field.name}: area to load for`} opened={opened} onClose={onClose}>
			<AreaForm detail={detail} proposal={proposal} onClose={onClose} />
		</Dialog>
	);
}

function AreaForm({ detail, proposal, onClose }: Omit<Props, 'opened'>) {
	const { area } = useUnits();
	const { field } = detail;
	const typed = latest(detail, 'typed');
	const sprayed = proposal?.areaHa ?? latest(detail, 'sprayed');
	const [basis, setBasis] = useState<Basis | null>(proposal ? 'sprayed' : field.loadForBasis);
	const [areaHa, setAreaHa] = useState<number | null>(
		basis === 'typed' ? (typed ?? null) : basis === 'sprayed' ? (sprayed ?? null) : null,
	);
	const [why, setWhy] = useState(proposal?.why ?? detail.loadForWhy ?? '');
	const choose = useCommand(
		(api, chosen: Basis, key) =>
			api.fields.chooseArea({
				key,
				id: field.id,
				version: field.version,
				basis: chosen,
				why,
				...(needsFigure(chosen) && areaHa !== null ? { areaHa } : {}),
			}),
		onClose,
	);
	const outline =
		field.measuredHa === null ? null : field.measuredHa - detail.strips.reduce((sum, strip) => sum + strip.areaHa, 0);

	function pick(next: Basis): void {
		setBasis(next);
		setAreaHa(next === 'typed' ? (typed ?? null) : next === 'sprayed' ? (sprayed ?? null) : null);
	}

	return (
		<EntryForm
			command={choose}
			onSubmit={() => basis && choose.run(basis)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={choose.busy}>
						Load for this area
					</Button>
				</>
			}
		>
			<Choice<Basis>
				legend="Which area drives the litres"
				value={basis}
				onChange={pick}
				required
				options={[
					{
						value: 'boundary',
						label: 'Measured boundary',
						detail: 'less strips and obstacles; the usual choice',
						figure: area(outline),
						disabled: outline === null,
					},
					{
						value: 'mapped',
						label: 'Mapped area',
						detail: 'the legal or mapped figure as it stands',
						figure: area(field.mappedHa),
						disabled: field.mappedHa === null,
					},
					{
						value: 'sprayed',
						label: 'What the sprayer reported',
						detail: 'the whole field, with the same strips',
						figure: sprayed === undefined ? 'enter it' : area(sprayed),
					},
					{
						value: 'typed',
						label: 'Another figure',
						detail: 'typed from the receiver or a map',
						figure: typed === undefined ? 'enter it' : area(typed),
					},
				]}
			/>
			{basis && needsFigure(basis) && (
				<QuantityInput key={basis} label="Area" unit="ha" required min={0.0001} value={areaHa} onChange={setAreaHa} />
			)}
			<WhyInput description="Stands beside the figure on every plan and record" value={why} onChange={setWhy} />
		</EntryForm>
	);
}

function needsFigure(basis: Basis): boolean {
	return basis === 'typed' || basis === 'sprayed';
}

function latest(detail: FieldDetail, kind: 'typed' | 'sprayed'): number | undefined {
	const found = detail.measurements.filter((measurement) => measurement.kind === kind);
	return found.sort((a, b) => b.on.localeCompare(a.on))[0]?.areaHa;
}
