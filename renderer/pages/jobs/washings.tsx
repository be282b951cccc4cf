import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Job } from '../../../shared/contract/jobs.ts';
import type { Washings } from '../../../shared/contract/jobs-washings.ts';
import { needsTank } from '../../../shared/core/loads/application-kind.ts';
import { restWord } from '../../kind-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Table } from '../../parts/table.tsx';
import { TakeBack } from './take-back.tsx';
import { WashingsEntry } from './washings-form.tsx';
import { WashingsMap } from './washings-map.tsx';
import './washings.css';
import { useUnits } from '../../units.ts';
import { WhenAndWho } from './when-and-who.tsx';

/** Washings of a job put onto ground, and the entry of more. */
export function JobWashings({ job }: { readonly job: Job }) {
	const farmUnits = useUnits();
	const [opened, setOpened] = useState(false);
	const [shown, setShown] = useState<Washings['fields'][number] | null>(null);
	const isMixed = job.logs.some(({ state }) => state !== 'reversed');
	if (!needsTank(job.kind) || (!isMixed && job.washings.length === 0)) return null;
	return (
		<section aria-label="Washings" className="above">
			<h2>Washings</h2>
			{job.washings.length > 0 && (
				<Table
					caption="Washings put onto ground"
					rows={job.washings}
					rowKey={(row) => row.id}
					muted={({ state }) => state === 'reversed'}
					columns={[
						{
							key: 'when',
							head: 'When',
							cell: (row) => <WhenAndWho row={row} />,
						},
						{ key: 'where', head: 'Onto', cell: (row) => <Where row={row} onShow={setShown} /> },
						{
							key: 'held',
							head: 'Held',
							cell: (row) => (
								<>
									{row.products.map((line) => `${farmUnits.amount(line.amount, line.unit)} ${line.name}`).join(', ')}
									<span className="second">
										{farmUnits.volume(row.sprayedL)} sprayed out, of {farmUnits.volume(row.leftL)} of{' '}
										{restWord(job.kind)} left
										{row.note && `, ${row.note}`}
									</span>
								</>
							),
						},
						{
							key: 'back',
							head: <span className="visually-hidden">Take back</span>,
							cell: (row) =>
								row.state === 'reversed' ? (
									<span className="chip plain">reversed</span>
								) : (
									<TakeBack
										job={job}
										what={`the washings on ${row.fields.map(({ field }) => field).join(', ')}`}
										call={(api, key, said) => api.jobs.reverseWashings({ key, washingsId: row.id, ...said })}
									/>
								),
						},
					]}
				/>
			)}
			{isMixed && (
				<div className="row above-small screen-only">
					<Button variant="default" onClick={() => setOpened(true)}>
						Log washings put onto ground
					</Button>
				</div>
			)}
			<Dialog title={`Washings of ${job.name}`} opened={opened} onClose={() => setOpened(false)} size="wide">
				<WashingsEntry job={job} onClose={() => setOpened(false)} />
			</Dialog>
			<Dialog
				title={shown ? `Washings on ${shown.field}` : 'Washings'}
				opened={shown !== null}
				onClose={() => setShown(null)}
				size="wide"
			>
				{shown && <WashingsMap lying={shown} />}
			</Dialog>
		</section>
	);
}

type Lying = Washings['fields'][number];

function Where(props: { readonly row: Washings; readonly onShow: (lying: Lying) => void }) {
	const farmUnits = useUnits();
	return props.row.fields.map((lying) => (
		<div key={`${lying.fieldId} ${lying.over} ${lying.onJob}`}>
			{lying.field} {farmUnits.area(lying.areaHa)}
			{lying.over === 'unsprayed ground' && <span className="quiet small"> unsprayed ground</span>}
			{lying.onJob !== null && <span className="quiet small"> over ground of {lying.onJob}</span>}
			{lying.ground && (
				<div className="screen-only">
					<Button
						size="compact-sm"
						px={0}
						variant="subtle"
						aria-label={`Show where on ${lying.field}`}
						onClick={() => props.onShow(lying)}
					>
						Show where
					</Button>
				</div>
			)}
		</div>
	));
}
