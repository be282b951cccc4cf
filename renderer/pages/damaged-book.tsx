import { LonePage } from '../parts/lone-page.tsx';
import { FromBackup } from './settings/from-backup.tsx';

/** A book that was found damaged: nothing in it is shown or changed any more, and the way back to a backup stands open. */
export function DamagedBook({ why }: { readonly why: string }) {
	return (
		<LonePage stacked>
			<h1>The book is damaged</h1>
			<div className="notice stop" role="alert">
				<span className="word">Stop</span>
				<div>
					Its file is not whole. Nothing more is read from it or written to it. Check the disk; then go back to the
					newest backup. The damaged file is set aside, not deleted.
					<p className="small">What the check of the file found, for whoever helps: {why}</p>
				</div>
			</div>
			<FromBackup about={null} path={null} />
		</LonePage>
	);
}
