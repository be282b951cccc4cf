import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { figure, today } from '../../format.ts';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { useCommand } from '../../use-procedure.ts';
import type { About, BackupReport } from './books-page.tsx';

/** A copy under a name with today's date, read back and checked before it gets its name. */
export function MakeBackup({ about, onMade }: { readonly about: About; readonly onMade: (path: string) => void }) {
	const [path, setPath] = useState(() => suggestedPath(about));
	const make = useCommand(
		(api, to: string) => api.upkeep.backup({ path: to }),
		({ path: written }) => onMade(written),
	);

	async function choose(): Promise<void> {
		const chosen = await window.fillmark?.pickTarget?.(fileName(about));
		if (chosen) setPath(chosen);
	}

	return (
		<section aria-label="Make a backup">
			<h2>Make a backup</h2>
			<EntryForm
				command={make}
				onSubmit={() => make.run(path.trim())}
				foot={
					<Button type="submit" loading={make.busy}>
						Make and check the copy
					</Button>
				}
			>
				<div className="row low">
					<TextInput
						className="grow"
						label="Into the file"
						description="On another disk or a stick it survives this computer. An older backup is never written over."
						required
						maxLength={1000}
						spellCheck={false}
						value={path}
						onChange={(event) => setPath(event.currentTarget.value)}
					/>
					{window.fillmark?.pickTarget && (
						<Button variant="default" onClick={choose}>
							Choose
						</Button>
					)}
				</div>
				{make.answer && <Made report={make.answer} />}
			</EntryForm>
		</section>
	);
}

function Made({ report }: { readonly report: BackupReport }) {
	return (
		<DoneNotice>
			Checked copy in <span className="path">{report.path}</span>: {figure(report.records)} record lines,{' '}
			{figure(report.movements)} ledger lines, seal <span className="seal">{report.head.slice(0, 16)}</span>.
		</DoneNotice>
	);
}

function fileName({ demo }: About): string {
	const now = new Date();
	const clock = `${String(now.getHours()).padStart(2, '0')}${String(now.getMinutes()).padStart(2, '0')}`;
	return `fillmark-${demo ? 'demonstration-' : ''}${today()}-${clock}.backup`;
}

/** In a folder beside the books, written as this computer writes paths. */
function suggestedPath(about: About): string {
	const slash = about.folder.includes('\\') ? '\\' : '/';
	return [about.folder, 'backups', fileName(about)].join(slash);
}
