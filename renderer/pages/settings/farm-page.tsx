import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { monthNames, seasonDates, seasonOf } from '../../../shared/basics/calendar.ts';
import { type DisplayUnits, displayUnits, usualUnits } from '../../../shared/core/display/display-units.ts';
import type { Api } from '../../api.ts';
import { capital, longDate, today } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { DoneNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { SettingsNav } from './settings-nav.tsx';

type Settings = Awaited<ReturnType<Api['settings']['get']>>;

/** The farm: its name, zone and season, and how exactly it measures. */
export function FarmPage() {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	return (
		<Page title="Settings" columns="two">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings" />
				<Answered asked={settings}>{(now) => <FarmForm settings={now} />}</Answered>
			</section>
			<section aria-label="Cautions">
				<h2>Whatever is set here</h2>
				<Cautions />
			</section>
		</Page>
	);
}

const AS_RULES = 'as the rule set';

function unitOptions(ruleSet: string) {
	return [
		{ value: AS_RULES, label: `What goes with the rule set: ${unitWords[usualUnits(ruleSet)]}` },
		...displayUnits.map((value) => ({ value, label: capital(unitWords[value]) })),
	];
}

const unitWords: Readonly<Record<DisplayUnits, string>> = {
	metric: 'metric, L, kg and ha',
	'US customary': 'US customary, gal, lb and ac',
};

const months = monthNames.map((label, index) => ({ value: String(index + 1), label }));

function FarmForm({ settings }: { readonly settings: Settings }) {
	const [farmName, setFarmName] = useState(settings.farmName ?? '');
	const [zone, setZone] = useState(settings.zone);
	const [startMonth, setStartMonth] = useState(settings.seasonStartMonth);
	const [units, setUnits] = useState(settings.displayUnits);
	const [measureStep, setMeasureStep] = useState<number | null>(settings.measureStep);
	const [meterErrorPercent, setMeterError] = useState<number | null>(settings.meterErrorPercent);
	const save = useCommand((api, _: undefined, key) =>
		api.settings.save({
			key,
			farmName,
			zone,
			seasonStartMonth: startMonth,
			displayUnits: units,
			...(measureStep === null ? {} : { measureStep }),
			...(meterErrorPercent === null ? {} : { meterErrorPercent }),
		}),
	);
	const changed =
		farmName !== (settings.farmName ?? '') ||
		zone !== settings.zone ||
		startMonth !== settings.seasonStartMonth ||
		units !== settings.displayUnits ||
		measureStep !== settings.measureStep ||
		meterErrorPercent !== settings.meterErrorPercent;
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(undefined)}
			foot={
				<Button type="submit" loading={save.busy} disabled={!changed}>
					Save the settings
				</Button>
			}
		>
			<TextInput
				label="Name of the farm"
				description="Stands at the head of every record and report"
				required
				maxLength={200}
				value={farmName}
				onChange={(event) => setFarmName(event.currentTarget.value)}
			/>
			<div className="pair">
				<Pick
					label="The season starts in"
					description={seasonExample(startMonth)}
					options={months}
					value={String(startMonth)}
					onChange={(month) => month && setStartMonth(Number(month))}
					required
				/>
				<Pick
					label="Time zone of the farm"
					description="For times of day on records; its country is where the first fields are looked for"
					options={zonesWith(zone)}
					value={zone}
					onChange={(chosen) => chosen && setZone(chosen)}
					nothingFound="No such zone, for example Europe/London"
					required
				/>
			</div>
			<Pick
				label="Screens and reports read in"
				description="What is shown, and what is typed without a unit; the books stay in litres, kilograms and hectares"
				options={unitOptions(settings.ruleSet)}
				value={units ?? AS_RULES}
				onChange={(chosen) => setUnits(displayUnits.find((one) => one === chosen) ?? null)}
				required
			/>
			<p className="quiet small">
				A number may be typed with another unit and is converted: 800 gal, 15 gal/ac, 80 ac, 12 fl oz, 40 psi, 20 in.
			</p>
			<h2>How exactly this farm measures</h2>
			<div className="pair">
				<QuantityInput
					label="Smallest step measured out"
					unit="L or kg"
					description="A mark of the jug or scale: plans round to it"
					required
					min={0.000001}
					value={measureStep}
					onChange={setMeasureStep}
				/>
				<QuantityInput
					label="Error of the water meter"
					unit="%"
					description="Standard error: two times in three it is nearer than this"
					required
					min={0}
					max={50}
					value={meterErrorPercent}
					onChange={setMeterError}
				/>
			</div>
			<p className="quiet small">
				Both decide what counts as a difference when ground, tank and store are held against each other.
			</p>
			{save.answer && !changed && <DoneNotice>The settings are saved.</DoneNotice>}
		</EntryForm>
	);
}

function seasonExample(startMonth: number): string {
	const season = seasonOf(today(), startMonth);
	const { from, to } = seasonDates(season, startMonth);
	return `Harvest ${season}: ${longDate(from)} to ${longDate(to)}`;
}

/** Every zone the computer knows, and the one that is set. */
function zonesWith(zone: string) {
	const zones = new Set(['UTC', ...Intl.supportedValuesOf('timeZone'), zone]);
	return [...zones].sort().map((each) => ({ value: each, label: each.replaceAll('_', ' ') }));
}
