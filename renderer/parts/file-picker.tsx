import { Button } from '@mantine/core';
import { zip } from 'fflate';
import { type DragEvent, useRef, useState } from 'react';
import { type FileKind, tokenHeader } from '../door.ts';

export type PickedFile = { readonly path: string; readonly name: string };

/**
 * Hands a file of this computer over to the program. In the desktop window the system's dialog gives its path; in a browser
 * the file is sent to the program's own folder. Several loose parts (.shp, .dbf, .shx, .prj) are sent as one archive.
 */
export function FilePicker(props: {
	readonly label: string;
	readonly kinds: readonly FileKind[];
	readonly hint?: string;
	readonly onPicked: (file: PickedFile) => void;
}) {
	const [busy, setBusy] = useState(false);
	const [over, setOver] = useState(false);
	const [trouble, setTrouble] = useState<string>();
	const input = useRef<HTMLInputElement>(null);
	const accept = props.kinds.flatMap((kind) => kind.extensions.map((extension) => `.${extension}`)).join(',');

	async function take(job: () => Promise<PickedFile | null>): Promise<void> {
		setBusy(true);
		setTrouble(undefined);
		try {
			const picked = await job();
			if (picked) props.onPicked(picked);
		} catch (error) {
			setTrouble(error instanceof Error ? error.message : 'The file could not be handed over.');
		} finally {
			setBusy(false);
		}
	}

	function ask(): void {
		const bridge = window.fillmark;
		if (bridge) take(() => bridge.pickFile(props.kinds));
		else input.current?.click();
	}

	function drop(event: DragEvent): void {
		event.preventDefault();
		setOver(false);
		const files = [...event.dataTransfer.files];
		if (files.length > 0) take(() => upload(files));
	}

	return (
		<div className="stack tight">
			{/* biome-ignore lint/a11y/noStaticElementInteractions: dropping is a second way; the button is the first */}
			<div
				className="drop"
				data-over={over ? true : undefined}
				onDragOver={(event) => {
					event.preventDefault();
					setOver(true);
				}}
				onDragLeave={() => setOver(false)}
				onDrop={drop}
			>
				<Button onClick={ask} loading={busy} data-autofocus>
					{props.label}
				</Button>
				<span className="quiet">{props.hint ?? 'or drop it here'}</span>
				<input
					ref={input}
					type="file"
					multiple
					hidden
					accept={accept}
					aria-label={props.label}
					onChange={(event) => {
						const files = [...(event.currentTarget.files ?? [])];
						event.currentTarget.value = '';
						if (files.length > 0) take(() => upload(files));
					}}
				/>
			</div>
			{trouble && (
				<p className="entry-error" role="alert">
					{trouble}
				</p>
			)}
		</div>
	);
}

/** Sends a file to the program; answers where it was put. */
export async function upload(files: readonly File[]): Promise<PickedFile> {
	const [first, ...rest] = files;
	if (!first) throw new Error('No file was chosen.');
	const body = rest.length === 0 ? first : await asArchive(files);
	const name = rest.length === 0 ? first.name : `${baseName(files)}.zip`;
	const answer = await fetch('/upload', {
		method: 'POST',
		headers: { ...tokenHeader(), 'content-type': 'application/octet-stream', 'x-file-name': encodeURIComponent(name) },
		body,
	});
	if (!answer.ok) throw new Error(await refusalOf(answer, name));
	const { path }: { path: string } = await answer.json();
	return { path, name };
}

/** The sentence of the door, where it gives one. */
async function refusalOf(answer: Response, name: string): Promise<string> {
	const body: { json?: { message?: string } } = await answer.json().catch(() => ({}));
	return body.json?.message ?? `${name} could not be handed over (${answer.status}). Choose it again.`;
}

async function asArchive(files: readonly File[]): Promise<Blob> {
	const parts: Record<string, Uint8Array> = {};
	for (const file of files) parts[file.name] = new Uint8Array(await file.arrayBuffer());
	return new Promise((resolve, reject) => {
		zip(parts, { level: 0 }, (error, bytes) =>
			error ? reject(error) : resolve(new Blob([bytes as Uint8Array<ArrayBuffer>])),
		);
	});
}

function baseName(files: readonly File[]): string {
	const main = files.find((file) => /\.shp$/i.test(file.name)) ?? files[0];
	return main?.name.replace(/\.[^.]+$/, '') ?? 'boundaries';
}
