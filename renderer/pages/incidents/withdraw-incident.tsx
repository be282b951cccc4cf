import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Incident } from '../../../shared/contract/fills.ts';
import { EntryForm } from '../../parts/page.tsx';
import { WhyInput } from '../../parts/why-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';

/** Takes back an incident that was entered wrongly. It stays to be read, struck through. */
export function WithdrawIncident(props: {
	readonly incident: Incident;
	readonly by: string;
	readonly onClose: () => void;
}) {
	const farmUnits = useUnits();
	const { incident, by, onClose } = props;
	const [why, setWhy] = useState('');
	const withdraw = useCommand(
		(api, _: null, key) => api.fills.withdrawIncident({ key, id: incident.id, why: why.trim(), by }),
		onClose,
	);
	const { product, unit } = incident;
	return (
		<EntryForm
			command={withdraw}
			onSubmit={() => withdraw.run(null)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" variant="danger" loading={withdraw.busy}>
						Withdraw it
					</Button>
				</>
			}
		>
			<p>
				It stays in the list, struck through with the reason, and counts nowhere.
				{incident.amount !== null &&
					unit !== null &&
					` The ${farmUnits.amount(incident.amount, unit)} of ${product} come back to the shelf.`}
			</p>
			<WhyInput first value={why} onChange={setWhy} />
		</EntryForm>
	);
}
