import { Button } from '@mantine/core';
import { useState } from 'react';
import { capital } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { HoldsPick } from '../../parts/holds-pick.tsx';
import { EntryForm } from '../../parts/page.tsx';
import { useCommand } from '../../use-procedure.ts';
import { Foot } from '../fields/field-dialogs.tsx';

type Field = { readonly fieldId: string; readonly name: string };
type Props = {
	/** In the words of the label. */
	readonly condition: string;
	readonly fields: readonly Field[];
	/** As the register has it now. */
	readonly holds: boolean | null;
};

/** The way to answer, where a plan asks, whether a condition holds on its fields. The register keeps it. */
export function AnswerGround(props: Props) {
	const [opened, setOpened] = useState(false);
	const close = () => setOpened(false);
	return (
		<>
			<Button className="screen-only" variant="default" size="xs" onClick={() => setOpened(true)}>
				{props.holds === null ? 'Answer it' : 'Change the answer'}
			</Button>
			<Dialog title={`Does it hold: ${props.condition}?`} opened={opened} onClose={close}>
				<AnswerForm {...props} onClose={close} />
			</Dialog>
		</>
	);
}

function AnswerForm({ condition, fields, holds, onClose }: Props & { readonly onClose: () => void }) {
	const onAll = (answer: boolean | null) => new Map(fields.map(({ fieldId }) => [fieldId, answer]));
	const [answers, setAnswers] = useState<ReadonlyMap<string, boolean | null>>(() => onAll(holds));
	const save = useCommand(
		(api, _: undefined, key) =>
			api.limits.answerCondition({
				key,
				condition,
				fields: fields.map(({ fieldId }) => ({ fieldId, holds: answers.get(fieldId) ?? null })),
			}),
		onClose,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={<Foot busy={save.busy} onClose={onClose} action="Keep it in the register" />}
		>
			{fields.length > 1 && (
				<div className="row">
					<Button variant="default" size="xs" onClick={() => setAnswers(onAll(false))}>
						On none of them
					</Button>
					<Button variant="default" size="xs" onClick={() => setAnswers(onAll(true))}>
						On all of them
					</Button>
				</div>
			)}
			<div className="pair">
				{fields.map(({ fieldId, name }, index) => (
					<HoldsPick
						key={fieldId}
						label={name}
						autoFocus={index === 0 && fields.length === 1}
						value={answers.get(fieldId) ?? null}
						onChange={(answer) => setAnswers(new Map([...answers, [fieldId, answer]]))}
					/>
				))}
			</div>
			<p className="quiet small">
				{capital(condition)}: kept for each field until it is changed on the field’s page, and not asked again.
			</p>
		</EntryForm>
	);
}
