import { Button } from '@mantine/core';
import { useState } from 'react';
import type { LoadCard } from '../../../shared/contract/jobs-card.ts';
import { type CleanDownTask, cleanDownTasks } from '../../../shared/core/filling/yard-routines.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

/** What is cleaned when the last container is done, to tick off; `done` stands ticked already. */
export function CleanDownTicks(props: {
	readonly value: readonly CleanDownTask[];
	readonly onChange: (tasks: readonly CleanDownTask[]) => void;
	readonly done?: readonly string[];
}) {
	const { value, onChange, done = [] } = props;
	return (
		<div className="yard-checks">
			{cleanDownTasks.map((task) => (
				<label key={task}>
					<input
						type="checkbox"
						checked={done.includes(task) || value.includes(task)}
						disabled={done.includes(task)}
						onChange={(event) => {
							const { checked } = event.currentTarget;
							onChange(checked ? [...value, task] : value.filter((each) => each !== task));
						}}
					/>
					<span>{task}</span>
				</label>
			))}
		</div>
	);
}

type Props = { readonly card: LoadCard; readonly since: string; readonly operator: string };

/** The clean-down of a fill that is logged already: often the place is washed after the load has left. */
export function CleanDownLater({ card, since, operator }: Props) {
	const { jobId, load } = card;
	const from = since.slice(0, 10);
	const asked = useProcedure(['fills', 'cleanings', 'from', from], (api) => api.fills.cleanings({ from }));
	const [tasks, setTasks] = useState<readonly CleanDownTask[]>([]);
	const save = useCommand(
		(api, done: readonly CleanDownTask[], key) => api.fills.cleanDown({ key, jobId, load, tasks: [...done], operator }),
		() => setTasks([]),
	);
	if (!asked.answer) return null;
	// Of this fill, not of one of the same load before it.
	const own = asked.answer.filter((row) => row.jobId === jobId && row.load === load && row.at >= since);
	const done = own.flatMap((row) => row.tasks);
	return (
		<section aria-label="Clean down">
			<p className="yard-head">{cleanDownTasks.every((task) => done.includes(task)) ? 'Cleaned down' : 'Clean down'}</p>
			<CleanDownTicks value={tasks} onChange={setTasks} done={done} />
			<ProblemNotice problem={save.problem} />
			{tasks.length > 0 && (
				<div className="yard-next above-small">
					<Button loading={save.busy} onClick={() => save.run(tasks)}>
						Log what is ticked
					</Button>
				</div>
			)}
		</section>
	);
}
