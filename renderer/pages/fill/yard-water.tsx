import { Button } from '@mantine/core';
import { useState } from 'react';
import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import { clock } from '../../format.ts';
import { liquidOf } from '../../held-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { farFromClock, waterHead, waterUnder } from './fill-words.ts';
import type { Sheet } from './yard-top.tsx';

type Props = {
	readonly sheet: Sheet;
	readonly at: FillNow;
	readonly onTurn: () => void;
	readonly onRead: (meteredL: number) => void;
};

/** Where the inlet is shut next, in a figure to read from the tank; the clock stands in for the meter in between. */
export function YardWater({ sheet, at, onTurn, onRead }: Props) {
	const units = useUnits();
	const { litres } = units;
	const [reading, setReading] = useState(false);
	const { inletOpen, openedAt } = at.state;
	const shut = openedAt !== null && !inletOpen;
	const opens = shut && at.openInS === 0;
	const liquid = liquidOf(sheet.card);
	const call = inletOpen ? (at.stop?.call ?? 'later') : opens ? 'open' : 'later';
	return (
		<section className="yard-panel" data-call={call} aria-label={liquid === 'water' ? 'Water' : 'Fertiliser'}>
			<p className="yard-head" role={call === 'now' || call === 'open' ? 'alert' : undefined}>
				{waterHead(at)}
			</p>
			{shut ? (
				<p className="yard-figure huge tank">
					{at.openInS === null || opens ? litres(at.tankL) : clock(at.openInS)}
					<small>{at.openInS === null || opens ? `${units.name('L')} in the tank` : 'min'}</small>
				</p>
			) : (
				<p className="yard-figure huge tank">
					{litres(at.stop?.atMeterL)}
					<small>{units.name('L')} on the meter</small>
				</p>
			)}
			<Gauge sheet={sheet} at={at} />
			<div className="yard-under">
				{waterUnder(at, units).map((line) => (
					<p key={line}>{line}</p>
				))}
			</div>
			<div className="yard-presses">
				<button type="button" className="yard-press water" onClick={onTurn}>
					{inletOpen ? 'Inlet stopped' : openedAt === null ? 'Inlet opened' : 'Inlet opened again'} <kbd>S</kbd>
				</button>
				{openedAt !== null && (
					<button type="button" className="yard-press second" onClick={() => setReading(true)}>
						Meter reads …
					</button>
				)}
			</div>
			<MeterReading opened={reading} near={Math.round(at.meterL)} onClose={() => setReading(false)} onRead={onRead} />
		</section>
	);
}

/** Tank level and the mark to stop at, from empty to the full load. */
function Gauge({ sheet, at }: { readonly sheet: Sheet; readonly at: FillNow }) {
	const { litres, units } = useUnits();
	const { totalL } = sheet.given;
	const part = (levelL: number) => `${Math.max(0, Math.min(100, (levelL / totalL) * 100)).toFixed(2)}%`;
	const level = Math.min(at.tankL, totalL);
	return (
		<div
			className="yard-gauge"
			role="img"
			aria-label={`In the tank by the clock: ${litres(level)} of ${litres(totalL)} ${units === 'metric' ? 'litres' : 'gallons'}`}
		>
			<div className="level" style={{ width: part(level) }} />
			{at.stop && <div className="mark" style={{ left: part(at.stop.tankL) }} />}
		</div>
	);
}

function MeterReading(props: {
	readonly opened: boolean;
	readonly near: number;
	readonly onClose: () => void;
	readonly onRead: (meteredL: number) => void;
}) {
	return (
		<Dialog title="What does the meter read?" opened={props.opened} onClose={props.onClose}>
			<Reading {...props} />
		</Dialog>
	);
}

function Reading(props: {
	readonly near: number;
	readonly onClose: () => void;
	readonly onRead: (meteredL: number) => void;
}) {
	const { units, volume } = useUnits();
	const [meteredL, setMeteredL] = useState<number | null>(props.near);
	/** The far reading that was asked about: entered once more it stands. */
	const [asked, setAsked] = useState<number | null>(null);
	const far = farFromClock(meteredL, [props.near]);
	const asks = far && asked === meteredL;
	return (
		<form
			className="stack yard-form"
			onSubmit={(event) => {
				event.preventDefault();
				event.stopPropagation();
				if (meteredL === null) return;
				if (far && asked !== meteredL) return setAsked(meteredL);
				props.onRead(meteredL);
				props.onClose();
			}}
		>
			<QuantityInput
				label={`${units === 'metric' ? 'Litres' : 'Gallons'} through the meter since the inlet was first opened`}
				unit="L"
				min={0}
				required
				autoFocus
				value={meteredL}
				onChange={setMeteredL}
			/>
			{asks && (
				<div className="notice" role="alert">
					<span className="word">Look</span>
					<div>
						By the clock about {volume(props.near)} went through; {volume(meteredL)} is far from that. Read it again.
					</div>
				</div>
			)}
			<div className="form-foot">
				<Button variant="default" onClick={props.onClose}>
					Leave it
				</Button>
				<Button type="submit">{asks ? 'It does read that' : 'Take it over'}</Button>
			</div>
		</form>
	);
}
