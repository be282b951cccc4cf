import { Autocomplete, Button } from '@mantine/core';
import { useState } from 'react';
import type { Operator } from '../../../shared/contract/settings-operators.ts';
import { Answered, EntryForm } from '../../parts/page.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

/** Who usually sprays: one of the list, or somebody who has no certificate on it. */
export function UsualOperator({ operators }: { readonly operators: readonly Operator[] }) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	return (
		<Answered asked={settings}>
			{({ operator }) => <UsualForm now={operator ?? ''} names={operators.map(({ name }) => name)} />}
		</Answered>
	);
}

function UsualForm({ now, names }: { readonly now: string; readonly names: readonly string[] }) {
	const [name, setName] = useState(now);
	const save = useCommand((api, _: undefined, key) => api.settings.save({ key, operator: name.trim() || null }));
	const changed = name.trim() !== now;
	return (
		<EntryForm
			command={save}
			onSubmit={() => changed && save.run(undefined)}
			foot={
				<Button type="submit" loading={save.busy} disabled={!changed}>
					Save who usually sprays
				</Button>
			}
		>
			<Autocomplete
				label="Who usually sprays"
				description="Offered first in every form. Where a load is logged, a name already said for it or entered last on this computer comes before."
				maxLength={200}
				data={[...names]}
				value={name}
				onChange={setName}
				comboboxProps={{ transitionProps: { duration: 0 } }}
			/>
			{save.answer && !changed && (
				<DoneNotice>{now === '' ? 'Nobody is offered first.' : `${now} is offered first from now on.`}</DoneNotice>
			)}
		</EntryForm>
	);
}
