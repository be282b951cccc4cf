import { Button } from '@mantine/core';
import { useState } from 'react';
import type { DocumentKind, KeptDocument } from '../../../shared/contract/documents.ts';
import { count, longDate, shortDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useExport } from '../../use-export.ts';
import { useProcedure } from '../../use-procedure.ts';
import { DocumentForm, PutAsideForm } from './document-forms.tsx';

type Opened =
	| { readonly what: 'add' }
	| { readonly what: 'newer' | 'aside' | 'look'; readonly document: KeptDocument }
	| null;

/** Label, safety data sheet and other papers of a product, kept inside the books. */
export function ProductDocuments({ productId }: { readonly productId: string }) {
	const documents = useProcedure(['documents', productId], (api) => api.documents.list({ productId }));
	const [opened, setOpened] = useState<Opened>(null);
	const close = () => setOpened(null);
	const one = opened && 'document' in opened ? opened.document : null;
	return (
		<>
			<div className="row spread above">
				<h2>Label and data sheet</h2>
				<Button className="screen-only" size="xs" variant="default" onClick={() => setOpened({ what: 'add' })}>
					Keep a document
				</Button>
			</div>
			<Answered asked={documents}>{(rows) => <Kept rows={rows} onOpen={setOpened} />}</Answered>
			<Dialog title="Keep a document" opened={opened?.what === 'add'} onClose={close}>
				<DocumentForm productId={productId} kinds={productKinds} onClose={close} />
			</Dialog>
			<Dialog title={`A newer version of ${one?.name ?? ''}`} opened={opened?.what === 'newer'} onClose={close}>
				{one && <DocumentForm productId={productId} kinds={[one.kind]} replaces={one} onClose={close} />}
			</Dialog>
			<Dialog title={`Put ${one?.name ?? ''} aside`} opened={opened?.what === 'aside'} onClose={close}>
				{one && <PutAsideForm document={one} onClose={close} />}
			</Dialog>
			<Dialog title={one?.name ?? ''} opened={opened?.what === 'look'} onClose={close} size="wide">
				{one && <Look document={one} />}
			</Dialog>
		</>
	);
}

const productKinds: readonly DocumentKind[] = ['label', 'safety data sheet', 'other'];

function Kept(props: { readonly rows: readonly KeptDocument[]; readonly onOpen: (opened: Opened) => void }) {
	const [older, setOlder] = useState(false);
	const current = props.rows.filter(({ state }) => state === 'current');
	const earlier = props.rows.filter(({ state }) => state !== 'current');
	if (props.rows.length === 0) {
		return (
			<p className="quiet">
				None kept. A PDF or a photograph of the label, kept here, is in every backup of the books.
			</p>
		);
	}
	return (
		<>
			{current.length === 0 && <p className="quiet">None in use.</p>}
			<ul className="plain-list notes">
				{current.map((document) => (
					<OneDocument key={document.id} document={document} onOpen={props.onOpen} />
				))}
			</ul>
			{earlier.length > 0 && (
				<p className="above-small screen-only">
					<Button size="xs" variant="subtle" aria-expanded={older} onClick={() => setOlder(!older)}>
						{older ? 'Hide' : 'Show'} {count(earlier.length, 'earlier one')}
					</Button>
				</p>
			)}
			{older && (
				<ul className="plain-list notes">
					{earlier.map((document) => (
						<OneDocument key={document.id} document={document} onOpen={props.onOpen} />
					))}
				</ul>
			)}
		</>
	);
}

function OneDocument(props: { readonly document: KeptDocument; readonly onOpen: (opened: Opened) => void }) {
	const { document } = props;
	const isCurrent = document.state === 'current';
	const dated = document.issuedOn ? `, of ${longDate(document.issuedOn)}` : '';
	return (
		<li className={isCurrent ? undefined : 'quiet'}>
			<b>{document.kind === 'other' ? document.name : document.kind}</b>
			{dated}
			<span className="second quiet small">
				{document.kind !== 'other' && `${document.name} · `}
				{sizeWords(document.bytes)} · kept {shortDate(document.addedAt)} by {document.by}
				{document.state === 'replaced' && ' · replaced by a newer version'}
				{document.state === 'put aside' && ` · put aside: ${document.why}`}
			</span>
			<div className="row screen-only">
				{document.type !== 'pdf' && (
					<Button size="xs" variant="subtle" onClick={() => props.onOpen({ what: 'look', document })}>
						Look at it
					</Button>
				)}
				<SaveCopy document={document} />
				{isCurrent && (
					<>
						<Button size="xs" variant="subtle" onClick={() => props.onOpen({ what: 'newer', document })}>
							Newer version
						</Button>
						<Button size="xs" variant="subtle" onClick={() => props.onOpen({ what: 'aside', document })}>
							Put aside
						</Button>
					</>
				)}
			</div>
		</li>
	);
}

/** Writes the document out; what opens it then is the reader's own choice. */
function SaveCopy({ document }: { readonly document: KeptDocument }) {
	const { run, busy, problem } = useExport(
		(api, path) => api.documents.save({ documentId: document.id, ...(path === undefined ? {} : { path }) }),
		document.name,
	);
	return (
		<>
			<Button size="xs" variant="subtle" loading={busy} onClick={run} aria-label={`Save a copy of ${document.name}`}>
				Save a copy
			</Button>
			<ProblemNotice problem={problem} />
		</>
	);
}

function Look({ document }: { readonly document: KeptDocument }) {
	const picture = useProcedure(['document picture', document.id], (api) =>
		api.documents.picture({ documentId: document.id }),
	);
	return (
		<Answered asked={picture}>
			{({ dataUrl }) => <img src={dataUrl} alt={`${document.kind} ${document.name}`} style={{ maxWidth: '100%' }} />}
		</Answered>
	);
}

function sizeWords(bytes: number): string {
	return bytes < 100_000 ? `${Math.max(1, Math.round(bytes / 1000))} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}
