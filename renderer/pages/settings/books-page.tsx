import { useState } from 'react';
import type { Api } from '../../api.ts';
import { figure } from '../../format.ts';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { FromBackup } from './from-backup.tsx';
import { MakeBackup } from './make-backup.tsx';
import { SettingsNav } from './settings-nav.tsx';

export type About = Awaited<ReturnType<Api['upkeep']['about']>>;
export type BackupReport = Awaited<ReturnType<Api['upkeep']['backup']>>;

/** Where the books are kept, a checked copy of them, and the way back from one. */
export function BooksPage() {
	const about = useProcedure(['about'], (api) => api.upkeep.about({}));
	const [made, setMade] = useState<string | null>(null);
	return (
		<Page title="Books and backups" columns="two">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings/books" />
				<Answered asked={about}>
					{(books) => (
						<div className="books">
							<MakeBackup about={books} onMade={setMade} />
							<FromBackup key={made} about={books} path={made} />
						</div>
					)}
				</Answered>
			</section>
			<section aria-label="These books">
				{about.answer && (
					<>
						<h2>These books</h2>
						<Facts
							items={[
								[
									'Kept in',
									<span key="folder" className="path">
										{about.answer.folder}
									</span>,
								],
								['Record lines, all versions', figure(about.answer.records)],
								['Ledger lines', figure(about.answer.movements)],
								['Program', about.answer.version],
								['Database', `SQLite ${about.answer.sqlite}, shape ${about.answer.schema}`],
							]}
						/>
						<p className="quiet small above">
							Everything is in this one folder, on this computer. Keep it off network shares and synchronised folders:
							two programs writing at once tear a database. Copy it with a backup, not by hand, while the program runs.
						</p>
					</>
				)}
			</section>
		</Page>
	);
}
