import { Button, Checkbox, Textarea, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Store } from '../../../shared/contract/store-list.ts';
import type { StoreWatch } from '../../../shared/contract/store-watch.ts';
import { figure } from '../../format.ts';
import { EntryForm, Facts, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { BuildingPlan } from './building-plan.tsx';
import { PrintStorePaper } from './print-store-paper.tsx';

/** One store as a building: where it is, what its bund must hold, its plan, and its page for emergencies. */
export function Building(props: {
	readonly store: StoreWatch['stores'][number];
	readonly several: boolean;
	readonly onChange: () => void;
	readonly onAdd: () => void;
}) {
	const { store: site, several } = props;
	const { bund } = site;
	const { say } = useUnits();
	const litres = (value: number) => say(`${figure(value)} L`);
	return (
		<>
			<PageHead title={several ? site.name : 'The building'}>
				<Button variant="subtle" onClick={props.onAdd}>
					Add another store
				</Button>
				<Button variant="default" onClick={props.onChange}>
					{site.version === 0 ? 'Enter it' : 'Change'}
				</Button>
			</PageHead>
			{bund.holds !== null && (
				<p className="say">
					{bund.holds ? 'The bund holds what it must.' : 'The bund holds too little for what was stored.'}
				</p>
			)}
			<Facts
				items={[
					site.place !== '' && ['Where', site.place],
					['Stored now', litres(bund.storedL)],
					['Most in twelve months', litres(bund.mostL)],
					[`Bund must hold ${site.sensitive ? '185' : '110'} %`, litres(bund.neededL)],
					['Bund holds', site.bundL === null ? 'not entered' : litres(site.bundL)],
					site.contacts !== '' && [
						'To ring',
						<span key="contacts" className="pre">
							{site.contacts}
						</span>,
					],
				]}
			/>
			<p className="quiet small above-small">
				110 % of the most that is likely to be stored, 185 % in an environmentally sensitive area (HSE, Agriculture
				Information Sheet 16). A kilogram counts as a litre, on the safe side. Local rules may ask for more.
			</p>
			<BuildingPlan site={site} />
			<h2>List for emergencies</h2>
			<p>
				Products, amounts, hazards and the plan on one page{several && ' for each store'}, to be kept away from the
				store where those who come can find it. Print it again after every large delivery.
			</p>
			<div className="row above-small screen-only">
				<PrintStorePaper paper="store list" />
			</div>
		</>
	);
}

export function SiteForm(props: { readonly site: Store; readonly several: boolean; readonly onClose: () => void }) {
	const { site, several, onClose } = props;
	const [name, setName] = useState(site.name);
	const [closed, setClosed] = useState(false);
	const [place, setPlace] = useState(site.place);
	const [contacts, setContacts] = useState(site.contacts);
	const [bundL, setBundL] = useState<number | null>(site.bundL);
	const [sensitive, setSensitive] = useState(site.sensitive);
	const save = useCommand(
		(api, _: undefined, key) =>
			api.store.saveSite({
				...{ key, storeId: site.storeId, version: site.version, place, contacts, bundL, sensitive, name },
				...(closed ? { closed } : {}),
			}),
		onClose,
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						Save
					</Button>
				</>
			}
		>
			{several && (
				<TextInput
					label="Name"
					required
					maxLength={60}
					value={name}
					onChange={(event) => setName(event.currentTarget.value)}
				/>
			)}
			<TextInput
				label="Where it stands"
				description="As you would tell the fire service"
				maxLength={300}
				data-autofocus
				value={place}
				onChange={(event) => setPlace(event.currentTarget.value)}
			/>
			<Textarea
				label="Whom to ring"
				description="Names and numbers, one a line"
				autosize
				minRows={2}
				maxLength={600}
				value={contacts}
				onChange={(event) => setContacts(event.currentTarget.value)}
			/>
			<QuantityInput label="The bund holds" unit="L" min={0} value={bundL} onChange={setBundL} />
			<Checkbox
				label="It stands in an environmentally sensitive area"
				checked={sensitive}
				onChange={(event) => setSensitive(event.currentTarget.checked)}
			/>
			{several && !site.first && (
				<Checkbox
					label="It is no longer in use"
					description="Only while nothing stands in it; what happened there stays in the books"
					checked={closed}
					onChange={(event) => setClosed(event.currentTarget.checked)}
				/>
			)}
		</EntryForm>
	);
}

/** Another store beside those there are. What is in the books stays where it is. */
export function AddStoreForm(props: { readonly onAdded: (storeId: string) => void; readonly onClose: () => void }) {
	const [name, setName] = useState('');
	const [place, setPlace] = useState('');
	const [bundL, setBundL] = useState<number | null>(null);
	const add = useCommand(
		(api, _: undefined, key) => api.store.addStore({ key, name, place, bundL }),
		(added) => props.onAdded(added.storeId),
	);
	return (
		<EntryForm
			command={add}
			onSubmit={() => add.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={props.onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={add.busy}>
						Add the store
					</Button>
				</>
			}
		>
			<p>
				From then on a delivery says into which store it goes, a job from which it draws, and each store has its own
				stock take, bund and plan. What is on the books stays in the store there is.
			</p>
			<TextInput
				label="Name"
				description="As people on the farm call it"
				required
				maxLength={60}
				data-autofocus
				value={name}
				onChange={(event) => setName(event.currentTarget.value)}
			/>
			<TextInput
				label="Where it stands"
				maxLength={300}
				value={place}
				onChange={(event) => setPlace(event.currentTarget.value)}
			/>
			<QuantityInput label="The bund holds" unit="L" min={0} value={bundL} onChange={setBundL} />
		</EntryForm>
	);
}
