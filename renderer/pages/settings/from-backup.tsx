import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { figure, longDate, timeOfDay } from '../../format.ts';
import { Confirm } from '../../parts/dialog.tsx';
import { FilePicker } from '../../parts/file-picker.tsx';
import { EntryForm, Facts } from '../../parts/page.tsx';
import { DoneNotice, ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand } from '../../use-procedure.ts';
import type { About as AboutBooks, BackupReport } from './books-page.tsx';

/** Of books that are damaged nothing is told. */
type About = AboutBooks | null;

/** Checks a backup, and only from a checked one the way back: the present books are set aside. */
export function FromBackup({ about, path: made }: { readonly about: About; readonly path: string | null }) {
	const [path, setPath] = useState(made ?? '');
	const [asking, setAsking] = useState(false);
	const check = useCommand((api, from: string) => api.upkeep.verifyBackup({ path: from }));
	const restore = useCommand(
		(api, from: string, key) => api.upkeep.restore({ key, path: from }),
		() => setAsking(false),
	);
	const checked = check.answer;

	function take(next: string): void {
		setPath(next);
		check.reset();
		restore.reset();
	}

	return (
		<section aria-label="Check or restore a backup">
			<h2>Check a backup, or go back to one</h2>
			<EntryForm
				command={check}
				onSubmit={() => check.run(path.trim())}
				foot={
					<>
						{checked && (
							<Button variant="default" onClick={() => setAsking(true)}>
								Go back to this backup
							</Button>
						)}
						<Button type="submit" loading={check.busy}>
							Check this backup
						</Button>
					</>
				}
			>
				<FilePicker
					label="Choose the backup"
					kinds={[{ name: 'Backup', extensions: ['backup', 'sqlite', 'db'] }]}
					hint="or drop it here, or write where it is:"
					onPicked={(file) => take(file.path)}
				/>
				<TextInput
					label="Backup file"
					required
					maxLength={1000}
					spellCheck={false}
					value={path}
					onChange={(event) => take(event.currentTarget.value)}
				/>
				{checked && <Checked report={checked} about={about} />}
				{restore.answer && (
					<DoneNotice>
						The books are those of the backup. What stood here before is set aside in{' '}
						<span className="path">{restore.answer.setAside}</span>.
					</DoneNotice>
				)}
			</EntryForm>
			<Confirm
				opened={asking}
				title="Replace the books by this backup?"
				action="Replace the books"
				danger
				busy={restore.busy}
				onConfirm={() => checked && restore.run(checked.path)}
				onClose={() => setAsking(false)}
			>
				{checked && <Replaced report={checked} about={about} />}
				<ProblemNotice problem={restore.problem} />
			</Confirm>
		</section>
	);
}

function Checked({ report, about }: { readonly report: BackupReport; readonly about: About }) {
	return (
		<>
			<DoneNotice>The backup is sound: every page, reference, sum and chain in it was checked.</DoneNotice>
			<Facts
				items={[
					['Made', `${longDate(report.madeAt)}, ${timeOfDay(report.madeAt)}`],
					['Record lines', `${figure(report.records)}${about ? `; the books now: ${figure(about.records)}` : ''}`],
					['Ledger lines', `${figure(report.movements)}${about ? `; the books now: ${figure(about.movements)}` : ''}`],
					[
						'Seal of its newest record',
						<span key="seal" className="seal">
							{report.head.slice(0, 16)}
						</span>,
					],
				]}
			/>
		</>
	);
}

function Replaced({ report, about }: { readonly report: BackupReport; readonly about: About }) {
	const lost = about === null ? null : about.records - report.records;
	return (
		<>
			<p>
				The books become those of {longDate(report.madeAt)}, {timeOfDay(report.madeAt)}.{' '}
				{lost === null
					? 'What was written since then is no longer in them.'
					: lost > 0
						? `${figure(lost)} record lines written since then are no longer in them.`
						: 'No record line is lost by it.'}
			</p>
			<p>The present books are set aside in a folder beside them, whole. Nothing is deleted.</p>
		</>
	);
}
