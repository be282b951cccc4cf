import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import { capital } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput } from '../store/by-input.tsx';
import { standingLogs } from './job-words.ts';

type Props = {
	readonly job: Job;
	/** The load whose log is taken back; null: closed. */
	readonly load: number | null;
	readonly onClose: () => void;
	readonly onDone: (said: string) => void;
};

/** Takes back the log of a load: the store is refilled, its records stay, marked reversed. */
export function ReverseDialog({ job, load, onClose, onDone }: Props) {
	return (
		<Dialog title={`Take back ${portionWord(job.kind)} ${load ?? ''}`} opened={load !== null} onClose={onClose}>
			{load !== null && <ReverseForm job={job} load={load} onClose={onClose} onDone={onDone} />}
		</Dialog>
	);
}

function ReverseForm({ job, load, onClose, onDone }: Props & { readonly load: number }) {
	const farmUnits = useUnits();
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(standingLogs(job.logs, load).at(-1)?.operator ?? '');
	const reverse = useCommand(
		(api, _: null, key) => api.jobs.reverseLoad({ key, jobId: job.id, load, why: why.trim(), by: by.trim() }),
		({ returned }) => {
			const words = returned.map((line) => {
				const product = job.products.find(({ productId }) => productId === line.productId);
				return `${farmUnits.amount(line.amount, product?.unit ?? '')} ${product?.name ?? ''}`;
			});
			onDone(
				`${capital(portionWord(job.kind))} ${load} is taken back. ${words.length > 0 ? `Back in the store: ${words.join(', ')}.` : ''}`,
			);
			onClose();
		},
	);
	return (
		<EntryForm
			command={reverse}
			onSubmit={() => reverse.run(null)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" variant="danger" loading={reverse.busy}>
						Take back {portionWord(job.kind)} {load}
					</Button>
				</>
			}
		>
			<p>
				What the {portionWord(job.kind)} drew goes back into the store, and its spray records are marked reversed. Both
				stay on the books with your reason; then the {portionWord(job.kind)} can be logged again.
			</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}
