import { Button, TextInput } from '@mantine/core';
import { useEffect, useState } from 'react';
import { ruleSets, usualRuleSet } from '../../shared/core/records/rule-sets.ts';
import { LonePage } from '../parts/lone-page.tsx';
import { EntryForm } from '../parts/page.tsx';
import { useCommand } from '../use-procedure.ts';
import './start-page.css';

/** The first page of an empty book: start the farm's own, or look round the invented one. */
export function StartPage() {
	const [farmName, setFarmName] = useState('');
	const { timeZone: zone } = Intl.DateTimeFormat().resolvedOptions();
	const ruleSet = usualRuleSet(zone);
	const rules = ruleSets.find(({ id }) => id === ruleSet)?.name ?? ruleSet;
	const start = useCommand((api, name: string, key) => api.settings.save({ key, farmName: name, zone, ruleSet }));
	useEffect(() => {
		document.title = 'Fillmark';
	}, []);
	return (
		<LonePage>
			<p className="start-lead">
				Fields, tank loads, the store and the spray records of one farm, in one book on this computer.
			</p>
			<div className="start-choices">
				<section>
					<h1>Start your farm’s book</h1>
					<p className="quiet">
						Then bring in the field boundaries, the products and the sprayer. Nothing leaves this computer.
					</p>
					<EntryForm
						command={start}
						onSubmit={() => start.run(farmName.trim())}
						foot={
							<Button type="submit" loading={start.busy}>
								Start the book
							</Button>
						}
					>
						<TextInput
							label="Name of the farm"
							description="As it should stand at the head of every record"
							required
							maxLength={200}
							value={farmName}
							onChange={(event) => setFarmName(event.currentTarget.value)}
						/>
						<p className="quiet small">
							By the time zone of this computer, {zone}, records are held against “{rules}”. Both can be changed under
							Settings.
						</p>
					</EntryForm>
				</section>
				<section>
					<h1>Look round first</h1>
					<p className="quiet">
						A demonstration farm with fields, stock and a season of records. All of it is invented, and kept apart from
						your own book.
					</p>
					<div className="form-foot">
						<Button component="a" href="#/demo/fields" variant="default">
							Open the demonstration farm
						</Button>
					</div>
				</section>
			</div>
		</LonePage>
	);
}
