import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';

type Props = {
	readonly job: Job;
	readonly opened: boolean;
	readonly onClose: () => void;
	readonly onDone: () => void;
};

/** Withdraws a job of which nothing was logged. */
export function WithdrawDialog(props: Props) {
	return (
		<Dialog title="Withdraw the job" opened={props.opened} onClose={props.onClose}>
			<WithdrawForm {...props} />
		</Dialog>
	);
}

function WithdrawForm({ job, onClose, onDone }: Props) {
	const [why, setWhy] = useState('');
	const remove = useCommand((api, _: null, key) => api.jobs.remove({ key, id: job.id, why: why.trim() }), onDone);
	return (
		<EntryForm
			command={remove}
			onSubmit={() => remove.run(null)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" variant="danger" loading={remove.busy}>
						Withdraw it
					</Button>
				</>
			}
		>
			<p>
				{job.name} leaves the list and counts no more in limits. Nothing of it was logged, so neither store nor records
				change.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
		</EntryForm>
	);
}
