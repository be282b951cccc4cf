import { Button } from '@mantine/core';
import { useState } from 'react';
import { useBook } from '../../api.ts';
import { downloadExported } from '../../door.ts';
import { count, today } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { useCommand } from '../../use-procedure.ts';

type Format = 'geojson' | 'shapefile' | 'isoxml' | 'csv';

const formats: readonly {
	readonly value: Format;
	readonly label: string;
	readonly detail: string;
	readonly ending: string;
}[] = [
	{ value: 'geojson', label: 'GeoJSON', detail: 'boundaries and areas, for map programs', ending: 'geojson' },
	{
		value: 'shapefile',
		label: 'Shapefile, zipped',
		detail: 'the same; long names are kept to 254 bytes',
		ending: 'zip',
	},
	{
		value: 'isoxml',
		label: 'ISO 11783-10 task data, zipped',
		detail: 'for the terminal in the cab; names are cut at 32 letters, as the standard asks',
		ending: 'zip',
	},
	{ value: 'csv', label: 'Table (CSV)', detail: 'every figure of the register, without boundaries', ending: 'csv' },
];

/** Writes the register to a file: the desktop window asks where, a browser downloads it. */
export function ExportDialog({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }) {
	return (
		<Dialog title="Export the fields" opened={opened} onClose={onClose}>
			<ExportForm onClose={onClose} />
		</Dialog>
	);
}

function ExportForm({ onClose }: { readonly onClose: () => void }) {
	const book = useBook();
	const [format, setFormat] = useState<Format>('geojson');
	const write = useCommand(
		(api, path: string | undefined) => api.fields.export({ format, ...(path === undefined ? {} : { path }) }),
		({ path }, asked) => {
			if (asked === undefined) downloadExported(book, path);
		},
	);

	async function make(): Promise<void> {
		const pickTarget = window.fillmark?.pickTarget;
		if (!pickTarget) return void write.run(undefined);
		const ending = formats.find(({ value }) => value === format)?.ending ?? format;
		const path = await pickTarget(`Fields ${today()}.${ending}`);
		if (path !== null) await write.run(path);
	}

	function choose(next: Format): void {
		setFormat(next);
		write.reset();
	}

	return (
		<EntryForm
			command={write}
			onSubmit={make}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						{write.answer ? 'Done' : 'Leave it'}
					</Button>
					<Button type="submit" loading={write.busy}>
						Write the file
					</Button>
				</>
			}
		>
			<Choice<Format> legend="Kind of file" value={format} onChange={choose} options={formats} />
			{write.answer && (
				<DoneNotice>
					{count(write.answer.rows, 'field')} written
					{window.fillmark?.pickTarget
						? ` to ${write.answer.path}`
						: `; your browser keeps the file as ${nameOf(write.answer.path)}`}
				</DoneNotice>
			)}
		</EntryForm>
	);
}

function nameOf(path: string): string {
	return path.split(/[\\/]/).at(-1) ?? path;
}
