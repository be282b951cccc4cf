import { Button } from '@mantine/core';
import { useState } from 'react';
import { addDays } from '../../../shared/basics/calendar.ts';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { count, figure, longDate, shortDate, today } from '../../format.ts';
import { machineNames } from '../../kind-words.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { CleanOut } from '../fill/clean-out.tsx';
import { LearnedFilling } from '../fill/learned-filling.tsx';
import { Calibration } from './calibration.tsx';
import { Rinsing } from './rinsing.tsx';
import { SprayerForm } from './sprayer-form.tsx';
import { Spreading } from './spreading.tsx';

/** The sprayers of the farm, how each is filled, and the sums of the trade: nozzles, speed, rinsing. */
export function SprayersPage() {
	const sprayers = useProcedure(['sprayers'], (api) => api.sprayers.list({}));
	const [chosen, setChosen] = useState<string | null>(null);
	const [form, setForm] = useState<'add' | 'change' | null>(null);
	const rows = sprayers.answer ?? [];
	const sprayer = rows.find((row) => row.id === chosen) ?? rows.find(isSprayer) ?? rows[0];
	const close = () => setForm(null);
	return (
		<Page title="Sprayers" columns={sprayer ? 'three' : 'one'}>
			<section>
				<PageHead
					title="Sprayers"
					under={sprayers.answer ? count(rows.filter(isSprayer).length, 'sprayer') : undefined}
				>
					{sprayer && (
						<Button variant="default" onClick={() => setForm('add')}>
							Add
						</Button>
					)}
				</PageHead>
				<Answered asked={sprayers}>
					{() =>
						sprayer ? (
							<>
								<Sprayers rows={rows.filter(isSprayer)} chosen={sprayer.id} onChoose={setChosen} />
								{rows.some((row) => !isSprayer(row)) && (
									<>
										<h2>Applicators and treaters</h2>
										<Others rows={rows.filter((row) => !isSprayer(row))} chosen={sprayer.id} onChoose={setChosen} />
									</>
								)}
							</>
						) : (
							<Empty
								title="No sprayer is on the books yet."
								next={<Button onClick={() => setForm('add')}>Put a sprayer on the books</Button>}
							>
								Its tank and smallest load decide how a job is split; how fast it fills decides whether every container
								fits while the tank fills.
							</Empty>
						)
					}
				</Answered>
			</section>
			{sprayer &&
				(isSprayer(sprayer) ? (
					<OneSprayer key={sprayer.id} sprayer={sprayer} onChange={() => setForm('change')} />
				) : (
					<OtherMachine key={sprayer.id} machine={sprayer} onChange={() => setForm('change')} />
				))}
			{sprayer && isSprayer(sprayer) && (
				<section>
					<Rinsing key={sprayer.id} sprayer={sprayer} />
					<CleanOut key={`tank ${sprayer.id}`} sprayer={sprayer} />
				</section>
			)}
			<Dialog title="Put a machine on the books" opened={form === 'add'} onClose={close} size="wide">
				<SprayerForm sprayer={null} onClose={close} onSaved={setChosen} />
			</Dialog>
			<Dialog
				title={sprayer ? `Change ${sprayer.name}` : 'Change'}
				opened={form === 'change' && sprayer !== undefined}
				onClose={close}
				size="wide"
			>
				{sprayer && <SprayerForm sprayer={sprayer} onClose={close} onSaved={setChosen} />}
			</Dialog>
		</Page>
	);
}

type Choice = { readonly rows: readonly Sprayer[]; readonly chosen: string; readonly onChoose: (id: string) => void };

function Sprayers(props: Choice) {
	const farmUnits = useUnits();
	return (
		<Machines
			{...props}
			caption="Sprayers"
			head="Sprayer"
			under={({ boomWidthM }) => (boomWidthM === undefined ? null : farmUnits.say(`boom ${figure(boomWidthM)} m`))}
			holds={{
				key: 'tank',
				head: 'tank',
				sort: (row) => row.capacityL,
				cell: (row) => `${farmUnits.volume(row.capacityL)}`,
			}}
		/>
	);
}

/** Granule applicators, seed treaters and indoor applicators. */
function Others(props: Choice) {
	const farmUnits = useUnits();
	return (
		<Machines
			{...props}
			caption="Applicators and treaters"
			head="Machine"
			under={({ kind }) => machineNames[kind].toLowerCase()}
			holds={{ key: 'holds', head: 'holds', sort: (row) => row.hopperKg ?? 0, cell: (row) => holds(row, farmUnits) }}
		/>
	);
}

function Machines(
	props: Choice & {
		readonly caption: string;
		readonly head: string;
		readonly under: (row: Sprayer) => string | null;
		readonly holds: Column<Sprayer>;
	},
) {
	return (
		<Table
			caption={props.caption}
			rows={props.rows}
			rowKey={(row) => row.id}
			onOpen={(row) => props.onChoose(row.id)}
			selected={props.chosen}
			columns={[
				{
					key: 'name',
					head: props.head,
					sort: (row) => row.name,
					cell: (row) => (
						<>
							{row.name}
							{props.under(row) !== null && <span className="second">{props.under(row)}</span>}
						</>
					),
				},
				{ ...props.holds, number: true },
			]}
		/>
	);
}

function isSprayer({ kind }: Sprayer): boolean {
	return kind === 'sprayer';
}

function holds({ kind, hopperKg, capacityL }: Sprayer, farmUnits: Units): string {
	if (kind === 'indoor applicator') return capacityL > 0 ? farmUnits.say(`${figure(capacityL)} L`) : '–';
	return hopperKg === null ? 'any amount' : farmUnits.say(`${figure(hopperKg)} kg`);
}

/** A machine without a tank: what it holds decides how a job is split. */
function OtherMachine({ machine, onChange }: { readonly machine: Sprayer; readonly onChange: () => void }) {
	const farmUnits = useUnits();
	const { kind, boomWidthM, speedKmh, testedOn, testDueOn } = machine;
	return (
		<section aria-label={machine.name}>
			<PageHead title={machine.name} under={machineNames[kind].toLowerCase()}>
				<Button variant="default" onClick={onChange}>
					Change
				</Button>
			</PageHead>
			<Facts
				items={[
					holds(machine, farmUnits) !== '–' && [holdersOf[kind], holds(machine, farmUnits)],
					boomWidthM !== undefined && ['Working width', farmUnits.say(`${figure(boomWidthM)} m`)],
					speedKmh !== undefined && ['Speed', farmUnits.say(`${figure(speedKmh, 1)} km/h`)],
					testedOn !== undefined && ['Last test', shortDate(testedOn)],
					testDueOn !== undefined && ['Next test', shortDate(testDueOn)],
				]}
			/>
			<p className="quiet above-small">{calibrationWords[kind]}</p>
			{kind === 'granule applicator' && <Spreading key={machine.id} machine={machine} />}
		</section>
	);
}

const holdersOf: Readonly<Record<Sprayer['kind'], string>> = {
	sprayer: 'Tank',
	'granule applicator': 'Hopper',
	'seed treater': 'One batch',
	'indoor applicator': 'Tank',
};

const calibrationWords: Readonly<Partial<Record<Sprayer['kind'], string>>> = {
	'seed treater':
		'Calibrate it by weighing the product it takes for a weighed amount of seed, with every new seed lot.',
	'granule applicator':
		'Calibrate it by catching and weighing over a measured course, with every product and on the day.',
	'indoor applicator':
		'Check what it puts out in a minute before each use: catch it with water, by its own instructions.',
};

function OneSprayer({ sprayer, onChange }: { readonly sprayer: Sprayer; readonly onChange: () => void }) {
	const farmUnits = useUnits();
	const due = sprayer.testDueOn;
	return (
		<section aria-label={sprayer.name}>
			<PageHead
				title={sprayer.name}
				under={`tank ${farmUnits.volume(sprayer.capacityL)}${sprayer.boomWidthM === undefined ? '' : farmUnits.say(`, boom ${figure(sprayer.boomWidthM)} m`)}`}
			>
				<Button variant="default" onClick={onChange}>
					Change
				</Button>
			</PageHead>
			{due !== undefined && due <= addDays(today(), 60) && (
				<p>
					<span className={due < today() ? 'chip stop' : 'chip'}>
						{due < today() ? 'sprayer test overdue' : 'sprayer test soon'}: {longDate(due)}
					</span>
				</p>
			)}
			<div className="sprayer-facts">
				<div>
					<h2>Tank</h2>
					<Facts
						items={[
							['Smallest load', `${farmUnits.volume(sprayer.minimumL)}`],
							['Stays in sump and lines', `${farmUnits.volume(sprayer.unsprayableL)}`],
							['Nozzles', nozzleWords(sprayer, farmUnits)],
							sprayer.pressureBar !== undefined && ['Pressure', farmUnits.say(`${sprayer.pressureBar} bar`)],
							sprayer.speedKmh !== undefined && ['Speed', farmUnits.say(`${sprayer.speedKmh} km/h`)],
							sprayer.boomHeightM !== undefined && ['Boom height', farmUnits.say(`${sprayer.boomHeightM} m`)],
							sprayer.testedOn !== undefined && ['Last test', shortDate(sprayer.testedOn)],
							due !== undefined && ['Next test', shortDate(due)],
						]}
					/>
					<LearnedFilling sprayer={sprayer} />
				</div>
				<div>
					<h2>Filling</h2>
					<Facts
						items={[
							['Water comes in at', farmUnits.say(`${figure(sprayer.inflowLPerMin)} L/min`)],
							[
								'First container at',
								sprayer.startL === undefined ? 'half the load' : `${farmUnits.volume(sprayer.startL)}`,
							],
							['Open and pour', `${figure(sprayer.openAndPourS)} s`],
							[
								'Rinses',
								sprayer.rinsesS.length === 0 ? 'none' : `${sprayer.rinsesS.map((each) => figure(each)).join(' + ')} s`,
							],
							['Rinse water', `${farmUnits.say(`${figure(sprayer.rinseLPerMin)} L/min`)}, ${sprayer.rinseFrom}`],
							['Drain', sprayer.drainS === 0 ? 'beside the next' : `${figure(sprayer.drainS)} s`],
							['Done before full by', `${farmUnits.volume(sprayer.closeReserveL)}`],
							sprayer.valveRunOnL > 0 && ['Valve runs on', `${farmUnits.volume(sprayer.valveRunOnL)}`],
						]}
					/>
				</div>
			</div>
			<Calibration sprayer={sprayer} />
		</section>
	);
}

function nozzleWords({ nozzle, nozzleSpacingM, driftReduction }: Sprayer, farmUnits: Units): string {
	const less = driftReduction ? `at least ${driftReduction} % less drift` : undefined;
	return [nozzle, farmUnits.say(`${nozzleSpacingM} m apart`), less].filter(Boolean).join(', ');
}
