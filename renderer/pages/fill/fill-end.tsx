import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { FillNow } from '../../../shared/core/filling/fill-now.ts';
import { tasksOf } from '../../../shared/core/filling/handling.ts';
import type { CleanDownTask } from '../../../shared/core/filling/yard-routines.ts';
import { count, figure } from '../../format.ts';
import { EntryForm } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { CleanDownTicks } from './clean-down.tsx';
import { farFromClock } from './fill-words.ts';
import type { Sheet } from './yard-top.tsx';

type Props = {
	readonly sheet: Sheet;
	readonly at: FillNow;
	readonly onBack: () => void;
	readonly onLogged: () => void;
};

/** The load is in the tank: the place is cleaned down, the meter read, the fill logged. */
export function FillEnd({ sheet, at, onBack, onLogged }: Props) {
	const units = useUnits();
	const { card, given } = sheet;
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const [tasks, setTasks] = useState<readonly CleanDownTask[]>([]);
	const [meteredL, setMeteredL] = useState<number | null>(() =>
		at.left === 0 ? Math.round(plannedWater(sheet)) : Math.round(at.meterL),
	);
	const [operator, setOperator] = useState<string | null>(null);
	const who = operator ?? card.operator ?? settings.answer?.operator ?? '';
	const { jobId, load } = card;
	const cleanDown = useCommand((api, done: readonly CleanDownTask[], key) =>
		api.fills.cleanDown({ key, jobId, load, tasks: [...done], operator: who }),
	);
	const log = useCommand(
		(api, metered: number, key) =>
			api.fills.log({ key, jobId, load, meteredL: metered, operator: who, at: new Date().toISOString() }),
		onLogged,
	);
	async function end(): Promise<void> {
		if (meteredL === null) return;
		if (tasks.length > 0 && !(await cleanDown.run(tasks))) return;
		await log.run(meteredL);
	}
	return (
		<div className="yard-body">
			<section className="yard-panel" aria-label="Clean down">
				<p className="yard-head">Clean down</p>
				<CleanDownTicks value={tasks} onChange={setTasks} />
			</section>
			<section className="yard-panel" aria-label="Log the fill">
				<p className="yard-head">
					{at.left === 0 ? 'The load is in the tank' : `${count(at.left, 'container')} not done`}
				</p>
				<div className="yard-form">
					<EntryForm
						command={log}
						onSubmit={end}
						foot={
							<>
								<Button variant="default" onClick={onBack}>
									Not yet
								</Button>
								<Button type="submit" loading={log.busy || cleanDown.busy}>
									Log the fill
								</Button>
							</>
						}
					>
						<QuantityInput
							label="The meter reads"
							description={units.say(
								`planned ${figure(plannedWater({ card, given }))} L, by the clock about ${figure(at.meterL)} L`,
							)}
							unit="L"
							min={0}
							required
							value={meteredL}
							onChange={setMeteredL}
						/>
						{farFromClock(meteredL, [plannedWater(sheet), at.meterL]) && (
							<p className="notice" role="status">
								<span className="word">Look</span>
								<span>
									Far from the plan and from the clock: read the meter again, and say so in an incident if more went in.
								</span>
							</p>
						)}
						<TextInput
							label="Operator"
							required
							maxLength={120}
							autoComplete="off"
							value={who}
							onChange={(event) => setOperator(event.currentTarget.value)}
						/>
					</EntryForm>
				</div>
			</section>
		</div>
	);
}

/** Water through the inlet meter as planned: all water of the load less what rinses from the clean tank bring. */
function plannedWater({ given }: Sheet): number {
	const rinses = tasksOf(given.containers, given.handling).reduce((sum, { cleanWaterL }) => sum + cleanWaterL, 0);
	return given.waterL - rinses;
}
