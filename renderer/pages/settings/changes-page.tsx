import { useState } from 'react';
import { count, figure, shortDate, timeOfDay } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { type Change, changeFigures, changeSubject, changeWords, type Names } from './change-words.ts';
import { SettingsNav } from './settings-nav.tsx';

const LINES = 2000;

/** Every change of the books, newest first: who, when, what was entered and what became of it. */
export function ChangesPage() {
	const changes = useProcedure(['audit'], (api) => api.upkeep.audit({ limit: LINES }));
	const names = useNames();
	const [opened, setOpened] = useState<Change | null>(null);
	return (
		<Page title="Who changed what">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings/changes" />
				<Answered asked={changes}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title="Nothing was entered yet." />
						) : (
							<>
								<p className="quiet">{lines(rows.length)}</p>
								<Changes rows={rows} names={names} onOpen={setOpened} />
							</>
						)
					}
				</Answered>
			</section>
			<Dialog
				title={opened ? changeWords(opened) : 'Change'}
				opened={opened !== null}
				onClose={() => setOpened(null)}
				size="wide"
			>
				{opened && <OneChange change={opened} names={names} />}
			</Dialog>
		</Page>
	);
}

function Changes(props: {
	readonly rows: readonly Change[];
	readonly names: Names;
	readonly onOpen: (change: Change) => void;
}) {
	return (
		<Table
			caption="Changes of the books"
			rows={props.rows}
			rowKey={({ seq }) => String(seq)}
			onOpen={props.onOpen}
			height={props.rows.length > 200 ? 'calc(100vh - 250px)' : undefined}
			columns={[
				{
					key: 'seq',
					head: 'No.',
					number: true,
					width: '70px',
					cell: ({ seq }) => <span className="quiet">{figure(seq)}</span>,
				},
				{
					key: 'at',
					head: 'When',
					width: '190px',
					sort: ({ at }) => at,
					cell: ({ at }) => `${shortDate(at)}, ${timeOfDay(at)}`,
				},
				{ key: 'who', head: 'Who', width: '18%', sort: ({ who }) => who, cell: ({ who }) => who },
				{ key: 'what', head: 'What', width: '26%', sort: changeWords, cell: changeWords },
				{
					key: 'subject',
					head: 'Of what',
					cell: (change) => <span className="quiet">{changeSubject(change, props.names)}</span>,
				},
			]}
		/>
	);
}

function OneChange({ change, names }: { readonly change: Change; readonly names: Names }) {
	const entered = changeFigures(change.input, names);
	const became = changeFigures(change.changes, names);
	return (
		<div className="stack">
			<p>
				{change.who}, {shortDate(change.at)} {timeOfDay(change.at)}, entry {figure(change.seq)}
			</p>
			{entered.length > 0 && (
				<section className="change">
					<h2>As entered</h2>
					<Facts items={entered} />
				</section>
			)}
			{became.length > 0 && (
				<section className="change">
					<h2>What became of it</h2>
					<Facts items={became} />
				</section>
			)}
		</div>
	);
}

/** What the ids in an entry stand for, as things are called today. */
function useNames(): Names {
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const sprayers = useProcedure(['sprayers'], (api) => api.sprayers.list({}));
	const jobs = useProcedure(['jobs'], (api) => api.jobs.list({}));
	type Named = { readonly id: string; readonly name: string };
	const all: (readonly Named[] | undefined)[] = [products.answer, fields.answer, sprayers.answer, jobs.answer];
	return new Map(all.flatMap((list) => list ?? []).map(({ id, name }) => [id, name]));
}

function lines(many: number): string {
	const shown = many >= LINES ? `The newest ${count(LINES, 'change')}` : count(many, 'change');
	return `${shown}. Nothing can be taken out or altered here; a wrong entry is taken back by another.`;
}
