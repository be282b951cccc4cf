import { Button, Checkbox, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { StockLine } from '../../../shared/contract/store.ts';
import { count, formulationAfter, shortDate, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered, EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';
import { size } from './stock-words.ts';
import { StorePick, useStores } from './store-pick.tsx';

type Props = {
	readonly opened: boolean;
	readonly from: string | null;
	readonly productId: string | undefined;
	readonly onClose: () => void;
};

/** Carries containers from one store of the farm to another. */
export function MoveDialog({ opened, ...rest }: Props) {
	return (
		<Dialog title="Move to another store" opened={opened} onClose={rest.onClose} size="widest">
			<MoveForm {...rest} />
		</Dialog>
	);
}

function MoveForm({ from: first, productId, onClose }: Omit<Props, 'opened'>) {
	const stores = useStores();
	const [from, setFrom] = useState<string | null>(first ?? stores[0]?.storeId ?? null);
	const [to, setTo] = useState<string | null>(null);
	const [packs, setPacks] = useState<Readonly<Record<string, number | null>>>({});
	const [opened, setOpened] = useState<ReadonlySet<string>>(new Set());
	const [date, setDate] = useState<string | null>(today());
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const target = to ?? stores.find(({ storeId }) => storeId !== from)?.storeId ?? null;
	const stock = useProcedure(['store', 'on hand', from], (api) => api.store.onHand(from ? { storeId: from } : {}));
	const chosen = Object.entries(packs).flatMap(([lotId, many]) => (many ? [{ lotId, count: many }] : []));
	const containers = chosen.reduce((sum, { count: many }) => sum + many, 0) + opened.size;
	const move = useCommand(
		(api, way: { readonly fromStoreId: string; readonly toStoreId: string }, key) =>
			api.store.move({
				...{ key, ...way, packs: chosen, opened: [...opened], by },
				...(date ? { date } : {}),
				...(why.trim() ? { why } : {}),
			}),
		onClose,
	);
	const leave = (storeId: string) => {
		setFrom(storeId);
		setPacks({});
		setOpened(new Set());
		if (storeId === target) setTo(null);
	};
	const tick = (id: string, on: boolean) => {
		const next = new Set(opened);
		if (on) next.add(id);
		else next.delete(id);
		setOpened(next);
	};
	return (
		<EntryForm
			command={move}
			onSubmit={() => from && target && move.run({ fromStoreId: from, toStoreId: target })}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={move.busy} disabled={containers === 0}>
						{containers === 0 ? 'Move' : `Move ${count(containers, 'container')}`}
					</Button>
				</>
			}
		>
			<div className="pair">
				<StorePick label="From" value={from} onChange={leave} />
				<StorePick label="To" value={target} onChange={setTo} but={from} />
				<DateInput label="On" value={date} onChange={setDate} max={today()} required />
			</div>
			<Answered asked={stock}>
				{(lines) => (
					<Containers
						lines={onTop(
							lines.filter((line) => line.lots.length > 0 || line.containers.length > 0),
							productId,
						)}
						packs={packs}
						opened={opened}
						onPacks={(lotId, many) => setPacks({ ...packs, [lotId]: many })}
						onTick={tick}
					/>
				)}
			</Answered>
			<div className="pair">
				<TextInput
					label="Why"
					data-autofocus
					placeholder="Left empty: moved"
					maxLength={200}
					value={why}
					onChange={(event) => setWhy(event.currentTarget.value)}
				/>
				<ByInput value={by} onChange={setBy} label="Moved by" />
			</div>
		</EntryForm>
	);
}

function onTop(lines: readonly StockLine[], productId: string | undefined): readonly StockLine[] {
	return [...lines].sort((a, b) => Number(b.productId === productId) - Number(a.productId === productId));
}

/** What stands in the store, container by container: how many of the full ones go, and which opened ones. */
function Containers(props: {
	readonly lines: readonly StockLine[];
	readonly packs: Readonly<Record<string, number | null>>;
	readonly opened: ReadonlySet<string>;
	readonly onPacks: (lotId: string, many: number | null) => void;
	readonly onTick: (containerId: string, on: boolean) => void;
}) {
	const farmUnits = useUnits();
	if (props.lines.length === 0) return <p className="quiet">Nothing stands in this store by the book.</p>;
	return (
		<div className="move-list">
			{props.lines.map((line) => (
				<fieldset key={line.productId}>
					<legend className="entry-label">
						{line.name} <span className="quiet">{formulationAfter(line.name, line.formulation)}</span>
					</legend>
					{line.lots
						.filter((lot) => lot.count > 0)
						.map((lot) => (
							<QuantityInput
								key={lot.lotId}
								label={`Full ${farmUnits.say(`${size(lot.size)} ${line.unit}`)}, ${lot.batch === null ? 'no batch noted' : `batch ${lot.batch}`}`}
								description={`${lot.count} there${lot.expires === null ? '' : `, use by ${shortDate(lot.expires)}`}`}
								whole
								min={0}
								max={lot.count}
								value={props.packs[lot.lotId] ?? null}
								onChange={(many) => props.onPacks(lot.lotId, many)}
							/>
						))}
					{line.containers.map((can) => (
						<Checkbox
							key={can.containerId}
							label={`Opened ${farmUnits.say(`${size(can.size)} ${line.unit}`)} with ${farmUnits.amount(can.left, line.unit)} left, since ${shortDate(can.openedOn)}`}
							checked={props.opened.has(can.containerId)}
							onChange={(event) => props.onTick(can.containerId, event.currentTarget.checked)}
						/>
					))}
				</fieldset>
			))}
		</div>
	);
}
