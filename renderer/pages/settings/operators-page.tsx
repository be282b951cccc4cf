import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Operator } from '../../../shared/contract/settings-operators.ts';
import { shortDate, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { Reminders } from '../../parts/reminders.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { SettingsNav } from './settings-nav.tsx';
import { UsualOperator } from './usual-operator.tsx';

/** Who sprays, with certificates and the day they run out, and who of them usually does. */
export function OperatorsPage() {
	const operators = useProcedure(['operators'], (api) => api.settings.operators({}));
	const [chosen, setChosen] = useState<string | null>(null);
	const operator = operators.answer?.find(({ id }) => id === chosen) ?? null;
	return (
		<Page title="Operators" columns="two">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings/operators" />
				<Reminders here="certificate" />
				<Answered asked={operators}>
					{(rows) =>
						rows.length === 0 ? (
							<Empty title="No operator is on the list yet.">
								With the certificate entered here, its number stands on every record this operator’s loads make, and 60
								days before it runs out you are reminded.
							</Empty>
						) : (
							<Table
								caption="Operators"
								rows={rows}
								columns={columns}
								rowKey={({ id }) => id}
								selected={operator?.id}
								onOpen={({ id }) => setChosen(id)}
							/>
						)
					}
				</Answered>
				<div className="usual-operator">
					<UsualOperator operators={operators.answer ?? []} />
				</div>
			</section>
			<section>
				<OperatorForm
					key={operator ? `${operator.id} ${operator.version}` : `new ${operators.answer?.length}`}
					operator={operator}
					onDone={() => setChosen(null)}
				/>
			</section>
		</Page>
	);
}

const columns: readonly Column<Operator>[] = [
	{ key: 'name', head: 'Operator', sort: ({ name }) => name, cell: ({ name }) => name },
	{ key: 'no', head: 'Certificate no.', cell: ({ certificateNo }) => certificateNo ?? '–' },
	{
		key: 'until',
		head: 'Runs out',
		sort: ({ certificateUntil }) => certificateUntil ?? '',
		cell: ({ certificateUntil }) =>
			certificateUntil !== null && certificateUntil < today() ? (
				<b>{shortDate(certificateUntil)}, over</b>
			) : (
				shortDate(certificateUntil)
			),
	},
];

function OperatorForm({ operator, onDone }: { readonly operator: Operator | null; readonly onDone: () => void }) {
	const [name, setName] = useState(operator?.name ?? '');
	const [certificateNo, setCertificateNo] = useState(operator?.certificateNo ?? '');
	const [certificateUntil, setCertificateUntil] = useState(operator?.certificateUntil ?? null);
	const entered = { name: name.trim(), certificateNo, ...(certificateUntil === null ? {} : { certificateUntil }) };
	const save = useCommand(async (api, _: undefined, key) => {
		if (operator) await api.settings.updateOperator({ key, id: operator.id, version: operator.version, ...entered });
		else await api.settings.addOperator({ key, ...entered });
	}, onDone);
	const remove = useCommand(
		(api, { id, version }: Operator, key) => api.settings.removeOperator({ key, id, version }),
		onDone,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={
				<>
					<Button type="submit" loading={save.busy} disabled={name.trim() === ''}>
						{operator ? 'Save' : 'Put on the list'}
					</Button>
					{operator && (
						<>
							<Button variant="default" onClick={onDone}>
								Enter another
							</Button>
							<Button variant="subtle" loading={remove.busy} onClick={() => remove.run(operator)}>
								Take off the list
							</Button>
						</>
					)}
				</>
			}
		>
			<h2>{operator ? operator.name : 'Another operator'}</h2>
			<TextInput
				label="Name"
				description="As it is entered when a load is logged"
				required
				maxLength={200}
				value={name}
				onChange={(event) => setName(event.currentTarget.value)}
			/>
			<div className="pair">
				<TextInput
					label="Certificate number"
					description="Stands on records made from now on"
					maxLength={60}
					value={certificateNo}
					onChange={(event) => setCertificateNo(event.currentTarget.value)}
				/>
				<DateInput
					label="Runs out on"
					description="You are reminded 60 and 30 days before"
					value={certificateUntil}
					onChange={setCertificateUntil}
				/>
			</div>
			{operator && (
				<p className="quiet small">
					Taken off the list, the name stays on every record. Finished records keep the number they were made with.
				</p>
			)}
		</EntryForm>
	);
}
