import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { TankState } from '../../../shared/contract/fills-tank.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { count, figure, shortDate, timeOfDay, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered, EntryForm } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { TimeInput } from '../../parts/time-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { WashingsEntry } from '../jobs/washings-form.tsx';
import { CleaningHistory } from './cleaning-history.tsx';
import { times } from './tank-before.tsx';

/** What was in the tank last, whether it was rinsed out since, what comes next; and the entry of a rinsing out. */
export function CleanOut({ sprayer }: { readonly sprayer: Sprayer }) {
	const state = useProcedure(['fills', 'tank', sprayer.id], (api) => api.fills.tankState({ sprayerId: sprayer.id }));
	const [logging, setLogging] = useState<'rinsed out' | 'washings' | null>(null);
	const last = state.answer?.last ?? null;
	const shut = () => setLogging(null);
	return (
		<>
			<h2>In the tank last</h2>
			<Answered asked={state}>{(answer) => <Last state={answer} />}</Answered>
			<div className="row above">
				<Button variant="default" onClick={() => setLogging('rinsed out')}>
					Log that it was rinsed out
				</Button>
				{last && (
					<Button variant="default" onClick={() => setLogging('washings')}>
						Log washings put onto ground
					</Button>
				)}
			</div>
			<CleaningHistory sprayerId={sprayer.id} />
			<Dialog title={`${sprayer.name} was rinsed out`} opened={logging === 'rinsed out'} onClose={shut}>
				<RinseOut sprayer={sprayer} lastJob={last} onOntoGround={() => setLogging('washings')} onClose={shut} />
			</Dialog>
			<Dialog
				title={`Washings of ${last?.job ?? 'the last job'}`}
				opened={logging === 'washings'}
				onClose={shut}
				size="wide"
			>
				{last && <WashingsOf jobId={last.jobId} onClose={shut} />}
			</Dialog>
		</>
	);
}

function WashingsOf({ jobId, onClose }: { readonly jobId: string; readonly onClose: () => void }) {
	const job = useProcedure(['jobs', jobId], (api) => api.jobs.get({ id: jobId }));
	return <Answered asked={job}>{(answer) => <WashingsEntry job={answer} onClose={onClose} />}</Answered>;
}

function Last({ state: { last, rinsedOut, next } }: { readonly state: TankState }) {
	if (!last) return <p className="quiet">Nothing was logged from this sprayer yet.</p>;
	return (
		<div className="stack tight">
			<p>
				{last.products
					.map(({ name, substances }) => (substances.length > 0 ? `${name} (${substances.join(', ')})` : name))
					.join('; ')}
				<span className="quiet">
					{' '}
					· {last.job}, {shortDate(last.on)}
				</span>
			</p>
			{rinsedOut ? (
				<p>
					Rinsed out {shortDate(rinsedOut.at)} at {timeOfDay(rinsedOut.at)} by {rinsedOut.who}
					{rinsedOut.factor > 1 && `: the rest ${times(rinsedOut.factor)} times weaker`}. Washings: {rinsedOut.washings}
					.
				</p>
			) : (
				<p>
					<span className="chip">not rinsed out since</span>
				</p>
			)}
			{next && (
				<p>
					Next {shortDate(next.date)}: {next.job}
					{next.crops.length > 0 && ` on ${next.crops.join(', ')}`}.
					{!rinsedOut &&
						' What is left in the sprayer goes on that crop with it: look on both labels what it does there.'}
				</p>
			)}
			{!rinsedOut &&
				last.products.map(
					({ name, cautions }) =>
						cautions && (
							<p key={name} className="quiet small">
								{name}: {cautions}
							</p>
						),
				)}
		</div>
	);
}

const WASHING_PLACES = 'washing-places';

type Draft = {
	readonly residualL: number | null;
	readonly rinses: number | null;
	readonly eachL: number | null;
	/** How many times weaker it is to be. */
	readonly target: number | null;
	/** Both empty: just now. */
	readonly date: string | null;
	readonly time: string;
	readonly washings: string;
	readonly operator: string | null;
	readonly note: string;
};

function RinseOut(props: {
	readonly sprayer: Sprayer;
	/** What was in the tank last: its washings are logged with it. */
	readonly lastJob: TankState['last'];
	readonly onOntoGround: () => void;
	readonly onClose: () => void;
}) {
	const farmUnits = useUnits();
	const { sprayer, lastJob, onClose } = props;
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const [draft, setDraft] = useState<Draft>({
		residualL: sprayer.unsprayableL > 0 ? sprayer.unsprayableL : null,
		rinses: 3,
		eachL: 100,
		target: null,
		date: today(),
		time: '',
		washings: '',
		operator: null,
		note: '',
	});
	const set = (part: Partial<Draft>) => setDraft((now) => ({ ...now, ...part }));
	const operator = draft.operator ?? settings.answer?.operator ?? '';
	const { residualL, rinses, eachL } = draft;
	const water =
		residualL !== null && rinses !== null && eachL !== null
			? { residualL, rinsesL: Array.from({ length: rinses }, () => eachL) }
			: null;
	const wanted = water && { ...water, ...(draft.target === null ? {} : { targetFactor: draft.target }) };
	const sum = useProcedure(['rinse', wanted], (api) => api.sprayers.rinse(wanted ?? { residualL: 1, rinsesL: [] }), {
		enabled: wanted !== null,
		keepPrevious: true,
	});
	const log = useCommand((api, wanted: { residualL: number; rinsesL: number[] }, key) => {
		const note = draft.note.trim();
		return api.fills.rinseOut({
			key,
			sprayerId: sprayer.id,
			...wanted,
			...(draft.time === '' ? {} : { at: `${draft.date ?? today()}T${draft.time}` }),
			washings: draft.washings.trim(),
			operator: operator.trim(),
			...(note === '' ? {} : { note }),
		});
	}, onClose);
	return (
		<EntryForm
			command={log}
			onSubmit={() => water && log.run(water)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={log.busy}>
						Log it
					</Button>
				</>
			}
		>
			<div className="pair">
				<QuantityInput
					label="Left in the sprayer"
					unit="L"
					min={0.000001}
					required
					value={residualL}
					onChange={(value) => set({ residualL: value })}
				/>
				<QuantityInput
					label="Rinses"
					whole
					min={1}
					max={20}
					required
					value={rinses}
					onChange={(value) => set({ rinses: value })}
				/>
				<QuantityInput
					label="Clean water each"
					unit="L"
					min={0.01}
					required
					value={eachL}
					onChange={(value) => set({ eachL: value })}
				/>
			</div>
			<div className="pair">
				<QuantityInput
					label="Wanted, weaker by"
					unit="times"
					min={1.01}
					description="May stay empty"
					value={draft.target}
					onChange={(target) => set({ target })}
				/>
				<DateInput label="On" required value={draft.date} onChange={(date) => set({ date })} />
				<TimeInput label="At" placeholder="now" value={draft.time} onChange={(time) => set({ time })} />
			</div>
			<ProblemNotice problem={sum.problem} />
			{water && sum.answer && (
				<div aria-live="polite">
					<p>
						The rest is <b>{times(sum.answer.factor)} times weaker</b>, fully mixed each time, with{' '}
						{farmUnits.volume((rinses ?? 0) * (eachL ?? 0))} of clean water.
						{sum.answer.rinsesForTarget !== undefined && draft.target !== null && (
							<>
								{' '}
								For {figure(draft.target)} times it takes {count(sum.answer.rinsesForTarget, 'rinse')} of{' '}
								{farmUnits.volume(eachL)}, or {farmUnits.volume(sum.answer.waterPerRinseForTargetL)} in each of {rinses}
								.
							</>
						)}
					</p>
					<p className="quiet small">
						For scale: the worst weed killers mark a sensitive crop at about 1/20,000 of their rate (dicamba on soybean,
						after Wolf). The labels say how to clean and with what; the figure proves nothing clean.
					</p>
				</div>
			)}
			{lastJob && (
				<p className="quiet small">
					Did they go onto a field?{' '}
					<Button size="compact-sm" px={0} variant="subtle" onClick={props.onOntoGround}>
						Log them as washings of {lastJob.job}
					</Button>{' '}
					instead: their dose is held against the labels, goes on the records, and the rinsing out is noted with it.
				</p>
			)}
			<TextInput
				label="Where the washings went"
				description="Off the fields: the washing place, a collecting tank, a biobed"
				list={WASHING_PLACES}
				required
				maxLength={200}
				value={draft.washings}
				onChange={(event) => set({ washings: event.currentTarget.value })}
			/>
			<datalist id={WASHING_PLACES}>
				{['washing place', 'collecting tank', 'biobed'].map((place) => (
					<option key={place} value={place} />
				))}
			</datalist>
			<div className="pair">
				<TextInput
					label="Operator"
					required
					maxLength={120}
					autoComplete="off"
					value={operator}
					onChange={(event) => set({ operator: event.currentTarget.value })}
				/>
				<TextInput
					label="Note"
					maxLength={4000}
					value={draft.note}
					onChange={(event) => set({ note: event.currentTarget.value })}
				/>
			</div>
		</EntryForm>
	);
}
