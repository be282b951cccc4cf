import { Button, Textarea, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { marginRow } from '../../parts/margin-rows.ts';
import { EntryForm } from '../../parts/page.tsx';
import { useAsksWithin30M } from '../../parts/use-asks-within-30-m.ts';
import { useCommand } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';
import { type Known, KnownInputs, type KnownName, knownChanges } from './known-inputs.tsx';

type Props = { readonly line: RecordLine; readonly opened: boolean; readonly onClose: () => void };

const everything: readonly KnownName[] = [
	'crop',
	'eppoCode',
	'reason',
	'growthStage',
	'operator',
	'certificateNo',
	'flowering',
	'told',
	'bufferM',
	'margins',
	'weather',
];

/** What is treated under a roof, or on seed, has no margins. */
function namesFor({ fieldId, washings }: RecordLine): ReadonlySet<KnownName> {
	return new Set(everything.filter((name) => name !== 'margins' || (fieldId !== null && washings === null)));
}

/** Corrects one record by a new version with its reason. Amounts and areas belong to the log of the load. */
export function CorrectDialog({ line, opened, onClose }: Props) {
	return (
		<Dialog title={`Correct ${line.product} on ${line.field}`} opened={opened} onClose={onClose} size="wide">
			<CorrectForm line={line} onClose={onClose} />
		</Dialog>
	);
}

function CorrectForm({ line, onClose }: Omit<Props, 'opened'>) {
	const before = knownOf(line);
	const [known, setKnown] = useState(before);
	const asksWithin30M = useAsksWithin30M([line.productId]);
	const [authorisationNo, setAuthorisationNo] = useState(line.authorisationNo ?? '');
	const [why, setWhy] = useState('');
	const [by, setBy] = useState(useUsualOperator());
	const changes = {
		...knownChanges(known, before),
		...(authorisationNo.trim() === (line.authorisationNo ?? '') ? {} : { authorisationNo }),
	};
	const correct = useCommand(
		(api, _: undefined, key) => api.records.correct({ key, id: line.id, version: line.version, why, by, ...changes }),
		onClose,
	);
	return (
		<EntryForm
			command={correct}
			onSubmit={() => correct.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={correct.busy} disabled={Object.keys(changes).length === 0}>
						Write the correction
					</Button>
				</>
			}
		>
			<KnownInputs names={namesFor(line)} value={known} asksWithin30M={asksWithin30M} onChange={setKnown}>
				<TextInput
					label="Authorisation number"
					description="Of the product"
					maxLength={60}
					value={authorisationNo}
					onChange={(event) => setAuthorisationNo(event.currentTarget.value)}
				/>
			</KnownInputs>
			<div className="pair">
				<Textarea
					label="Why"
					description="Stands beside the correction"
					required
					autosize
					minRows={1}
					maxRows={4}
					maxLength={4000}
					value={why}
					onChange={(event) => setWhy(event.currentTarget.value)}
				/>
				<ByInput value={by} onChange={setBy} label="Corrected by" />
			</div>
			<p className="quiet small">
				Date, area and amount follow from the load: to change them, take the load back in{' '}
				<Link href={`/jobs/${line.jobId}`}>its job</Link> and log it again. The store follows by itself.
			</p>
		</EntryForm>
	);
}

function knownOf(line: RecordLine): Known {
	return {
		crop: line.crop ?? '',
		eppoCode: line.eppoCode ?? '',
		growthStage: line.growthStage ?? '',
		reason: line.reason ?? '',
		operator: line.operator,
		certificateNo: line.certificateNo ?? '',
		flowering: line.flowering ?? '',
		told: line.told ?? '',
		bufferM: line.bufferM,
		margins: line.assessed?.margins.map(marginRow) ?? [],
		weather: line.weather ?? {},
	};
}
