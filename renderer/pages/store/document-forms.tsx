import { Button } from '@mantine/core';
import { useState } from 'react';
import type { DocumentKind, KeptDocument } from '../../../shared/contract/documents.ts';
import { Choice } from '../../parts/choice.tsx';
import { DateInput } from '../../parts/date-input.tsx';
import { FilePicker, type PickedFile } from '../../parts/file-picker.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from './by-input.tsx';

const pdfOrPicture = { name: 'PDF or picture', extensions: ['pdf', 'png', 'jpg', 'jpeg'] };
const picture = { name: 'Picture', extensions: ['png', 'jpg', 'jpeg'] };

/** Takes in a document: of a product, or the plan of the store. */
export function DocumentForm(props: {
	readonly productId?: string;
	readonly storeId?: string;
	readonly kinds: readonly DocumentKind[];
	readonly replaces?: KeptDocument | undefined;
	readonly onClose: () => void;
}) {
	const { productId, storeId, kinds, replaces } = props;
	const [file, setFile] = useState<PickedFile | null>(null);
	const [kind, setKind] = useState<DocumentKind | null>(kinds.length === 1 ? (kinds[0] ?? null) : null);
	const [issuedOn, setIssuedOn] = useState<string | null>(null);
	const [by, setBy] = useState(useUsualOperator());
	const add = useCommand(
		(api, entry: { readonly path: string; readonly kind: DocumentKind }, key) =>
			api.documents.add({
				...{ key, by, ...entry },
				...(productId ? { productId } : {}),
				...(storeId ? { storeId } : {}),
				...(issuedOn ? { issuedOn } : {}),
				...(replaces ? { replaces: replaces.id } : {}),
			}),
		props.onClose,
	);
	const isPlan = kinds.length === 1 && kinds[0] === 'store plan';
	return (
		<EntryForm
			command={add}
			onSubmit={() => file && kind && add.run({ path: file.path, kind })}
			foot={
				<>
					<Button variant="default" onClick={props.onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={add.busy} disabled={!file || !kind}>
						Keep it
					</Button>
				</>
			}
		>
			{file ? (
				<div className="row spread">
					<b>{file.name}</b>
					<Button size="xs" variant="subtle" onClick={() => setFile(null)}>
						Another file
					</Button>
				</div>
			) : (
				<FilePicker
					label={isPlan ? 'Choose a picture' : 'Choose a PDF or a picture'}
					kinds={[isPlan ? picture : pdfOrPicture]}
					onPicked={setFile}
				/>
			)}
			{kinds.length > 1 && (
				<Choice<DocumentKind>
					legend="What it is"
					value={kind}
					onChange={setKind}
					required
					options={kinds.map((each) => ({ value: each, label: each }))}
				/>
			)}
			<div className="pair">
				{!isPlan && <DateInput label="Date printed on it" value={issuedOn} onChange={setIssuedOn} />}
				<ByInput value={by} onChange={setBy} />
			</div>
			{replaces && <p className="quiet small">The older version stays for the records that were made under it.</p>}
		</EntryForm>
	);
}

export function PutAsideForm({ document, onClose }: { readonly document: KeptDocument; readonly onClose: () => void }) {
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const put = useCommand(
		(api, _: undefined, key) => api.documents.putAside({ key, documentId: document.id, why, by }),
		onClose,
	);
	return (
		<EntryForm
			command={put}
			onSubmit={() => put.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={put.busy}>
						Put it aside
					</Button>
				</>
			}
		>
			<p>It stays in the books and can be looked at among the earlier ones.</p>
			<WhyInput first value={why} onChange={setWhy} />
			<ByInput value={by} onChange={setBy} />
		</EntryForm>
	);
}
