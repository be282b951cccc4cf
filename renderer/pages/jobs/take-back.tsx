import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { Api } from '../../api.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';

/** Takes one line of a job's table back, for a reason. `what` names it: "the sowing on Long Piece". */
export function TakeBack(props: {
	readonly job: Job;
	readonly what: string;
	readonly call: (
		api: Api,
		key: string,
		said: { readonly jobId: string; readonly why: string; readonly by: string },
	) => Promise<unknown>;
}) {
	const [opened, setOpened] = useState(false);
	const [why, setWhy] = useState('');
	const { job, what } = props;
	const back = useCommand(
		(api, _: null, key) =>
			props.call(api, key, {
				jobId: job.id,
				why: why.trim(),
				by: job.operator ?? job.logs.at(-1)?.operator ?? 'office',
			}),
		() => setOpened(false),
	);
	return (
		<>
			<button type="button" className="act" aria-label={`Take back ${what}`} onClick={() => setOpened(true)}>
				×
			</button>
			<Dialog title={`Take back ${what}`} opened={opened} onClose={() => setOpened(false)}>
				<EntryForm
					command={back}
					onSubmit={() => back.run(null)}
					foot={
						<>
							<Button variant="default" onClick={() => setOpened(false)}>
								Leave it
							</Button>
							<Button type="submit" loading={back.busy}>
								Take it back
							</Button>
						</>
					}
				>
					<WhyInput first value={why} onChange={setWhy} />
				</EntryForm>
			</Dialog>
		</>
	);
}
