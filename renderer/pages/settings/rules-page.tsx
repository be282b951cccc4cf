import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Api } from '../../api.ts';
import { count, longDate } from '../../format.ts';
import { Choice } from '../../parts/choice.tsx';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { type SourceOnce, sourcesOnce } from './rule-sources.ts';
import { SettingsNav } from './settings-nav.tsx';

type RuleSet = Awaited<ReturnType<Api['records']['ruleSets']>>[number];

/** Which record rules this farm holds its records against, with each item and where it is written. */
export function RulesPage() {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const ruleSets = useProcedure(['rule sets'], (api) => api.records.ruleSets({}));
	const [looked, setLooked] = useState<string | null>(null);
	const inForce = settings.answer?.ruleSet;
	const shown = ruleSets.answer?.find(({ id }) => id === (looked ?? inForce)) ?? ruleSets.answer?.[0];
	return (
		<Page title="Record rules" columns="two">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings/rules" />
				{shown && <Items rules={shown} />}
			</section>
			<section aria-label="Rule sets">
				<Answered asked={ruleSets}>
					{(sets) => (
						<div className="stack">
							<Choice
								legend="Record rules"
								value={shown?.id ?? null}
								onChange={setLooked}
								options={sets.map(({ id, name, asOf, keepYears }) => ({
									value: id,
									label: name,
									detail: `looked at ${longDate(asOf)}; keep ${count(keepYears, 'year')} past the year`,
									figure: id === inForce ? <span className="chip plain">in use</span> : undefined,
								}))}
							/>
							{shown && shown.id !== inForce && <UseThese rules={shown} />}
							<p className="quiet small">
								A rule set says what a record should hold. It never says that a treatment was allowed, and no record
								becomes lawful by being complete. Law changes: hold the date against the present text.
							</p>
						</div>
					)}
				</Answered>
			</section>
		</Page>
	);
}

function UseThese({ rules }: { readonly rules: RuleSet }) {
	const save = useCommand((api, ruleSet: string, key) => api.settings.save({ key, ruleSet }));
	return (
		<div className="stack tight">
			<ProblemNotice problem={save.problem} />
			<div>
				<Button loading={save.busy} onClick={() => save.run(rules.id)}>
					Hold the records against these
				</Button>
			</div>
		</div>
	);
}

function Source({ of, fromMemory }: { readonly of: SourceOnce | undefined; readonly fromMemory: boolean }) {
	if (!of) return null;
	return (
		<>
			<span className={of.asAbove ? 'visually-hidden' : undefined}>
				{of.writing}
				{fromMemory && <span className="second">from memory: look it up before relying on it</span>}
			</span>
			{of.says && <span className={of.asAbove ? undefined : 'second'}>{of.says}</span>}
		</>
	);
}

function askedWords({ required, when }: RuleSet['items'][number]) {
	if (required) return <b>yes</b>;
	return when === null ? 'good to have' : `where a product's limits confine the ${when}`;
}

function Items({ rules }: { readonly rules: RuleSet }) {
	const sources = new Map(sourcesOnce(rules.items).map((source, at) => [rules.items[at]?.item, source]));
	return (
		<>
			<h2>{rules.name}: what a record holds</h2>
			{rules.writeWithin && (
				<p>
					To be written within {count(rules.writeWithin.days, 'day')} of the use.{' '}
					<span className="quiet">{rules.writeWithin.source}</span>
				</p>
			)}
			<Table
				caption={rules.name}
				rows={rules.items}
				rowKey={({ item }) => item}
				muted={({ required, when }) => !required && when === null}
				columns={[
					{ key: 'item', head: 'Item', cell: ({ item }) => item },
					{ key: 'asked', head: 'Asked for', cell: askedWords },
					{
						key: 'source',
						head: 'Written in',
						cell: ({ item, fromMemory }) => <Source of={sources.get(item)} fromMemory={fromMemory} />,
					},
				]}
			/>
		</>
	);
}
