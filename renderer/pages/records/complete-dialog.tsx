import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { Product } from '../../../shared/contract/products.ts';
import type { RecordLine } from '../../../shared/contract/records.ts';
import type { Api } from '../../api.ts';
import { longDate } from '../../format.ts';
import { Dialog } from '../../parts/dialog.tsx';
import { Answered, EntryForm } from '../../parts/page.tsx';
import { useAsksWithin30M } from '../../parts/use-asks-within-30-m.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { ByInput, useUsualOperator } from '../store/by-input.tsx';
import { KnownInputs, type KnownName, knownChanges, nothingKnown } from './known-inputs.tsx';
import { shareWords } from './treatments.ts';

type RuleSet = Awaited<ReturnType<Api['records']['ruleSets']>>[number];
type Props = { readonly jobId: string; readonly opened: boolean; readonly onClose: () => void };

/** Asks once per job what its records lack, and writes it into each line that lacks it. What stands there stays. */
export function CompleteDialog({ jobId, opened, onClose }: Props) {
	return (
		<Dialog title="Complete the records of this job" opened={opened} onClose={onClose} size="wide">
			<WholeJob jobId={jobId} onClose={onClose} />
		</Dialog>
	);
}

function WholeJob({ jobId, onClose }: Omit<Props, 'opened'>) {
	const lines = useProcedure(['records', 'job', jobId, 'current'], (api) => api.records.list({ jobId }));
	return <Answered asked={lines}>{(all) => <CompleteForm jobId={jobId} lines={all} onClose={onClose} />}</Answered>;
}

function CompleteForm({ jobId, lines, onClose }: Omit<Props, 'opened'> & { readonly lines: readonly RecordLine[] }) {
	const [known, setKnown] = useState(nothingKnown);
	const [by, setBy] = useState(useUsualOperator());
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const ruleSets = useProcedure(['rule sets'], (api) => api.records.ruleSets({}));
	const rules = ruleSets.answer?.find(({ id }) => id === settings.answer?.ruleSet);
	const products = useProcedure(['products'], (api) => api.products.list({})).answer ?? [];
	const numbers = numbersMissing(lines, products);
	const offFlowers = products.filter(({ limits }) => limits.some(({ kind }) => kind === 'flowering'));
	const changes = knownChanges(known, nothingKnown);
	const codes = useCropCodes(lines);
	const complete = useCommand(
		(api, _: undefined, key) => api.records.complete({ key, jobId, by, ...changes, eppoCodes: codes.entered }),
		onClose,
	);
	const hasSomething = Object.keys(changes).length > 0 || numbers.known.length > 0 || codes.entered.length > 0;
	const open = openItems(lines);
	const labels = offFlowers.filter(({ id }) => open.get('flowering')?.some(({ productId }) => productId === id));
	const asked = new Set(
		[...open.keys()].filter(
			(name) => isAsked(name, rules, open.get(name) ?? []) || (name === 'flowering' && labels.length > 0),
		),
	);
	const fields = fieldsOf(open.get('margins') ?? []);
	const asksWithin30M = useAsksWithin30M(lines.map(({ productId }) => productId));
	const inputs = { fields, asksWithin30M, value: known, onChange: setKnown };
	const others = new Set([...open.keys()].filter((name) => !asked.has(name)));
	// Each crop has its own code: one entry for all of them would be written onto the wrong ones.
	const codesIn =
		codes.crops.length === 0 ? null : asked.delete('eppoCode') ? 'asked' : others.delete('eppoCode') ? 'others' : null;
	const noteOf = (name: KnownName) =>
		name === 'flowering' && labels.length > 0
			? `Asked for by the label of ${labels.map((product) => product.name).join(', ')}`
			: noteWords(name, open.get(name) ?? [], lines);
	return (
		<EntryForm
			command={complete}
			onSubmit={() => complete.run(undefined)}
			foot={
				<>
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={complete.busy} disabled={!hasSomething}>
						Write it into the records
					</Button>
				</>
			}
		>
			<NumbersMissing {...numbers} />
			{rules && (asked.size > 0 || codesIn === 'asked') && (
				<section className="stack" aria-label="Asked for">
					<h2>
						Asked for by {rules.name}, {longDate(rules.asOf)}
					</h2>
					<KnownInputs {...inputs} names={asked} noteOf={noteOf}>
						{codesIn === 'asked' && codes.inputs}
					</KnownInputs>
				</section>
			)}
			{(others.size > 0 || codesIn === 'others') && (
				<section className="stack" aria-label="Not asked for">
					<h2>Not asked for, good to know later</h2>
					<KnownInputs {...inputs} names={others} noteOf={noteOf}>
						{codesIn === 'others' && codes.inputs}
					</KnownInputs>
				</section>
			)}
			<ByInput value={by} onChange={setBy} label="Entered by" />
			<p className="quiet small">
				Only what is open is filled. Each line gets a new version; the old one stays to be read.
			</p>
		</EntryForm>
	);
}

/** The EPPO code of each crop on lines without one; what the register says of a crop stands there already. */
function useCropCodes(lines: readonly RecordLine[]) {
	const register = useProcedure(['fields'], (api) => api.fields.list({})).answer ?? [];
	const [typed, setTyped] = useState<Readonly<Record<string, string>>>({});
	const without = lines.filter(({ crop, eppoCode }) => crop && !eppoCode);
	const byCrop = Map.groupBy(without, ({ crop }) => crop ?? '');
	const crops = [...byCrop.keys()].sort((a, b) => a.localeCompare(b));
	const codeOf = (crop: string) =>
		typed[crop] ?? register.find((field) => field.crop === crop && field.eppoCode)?.eppoCode ?? '';
	const entered = crops.flatMap((crop) => {
		const eppoCode = codeOf(crop).trim().toUpperCase();
		return eppoCode === '' ? [] : [{ crop, eppoCode }];
	});
	const inputs = crops.map((crop) => (
		<TextInput
			key={crop}
			label={`EPPO code of ${crop}`}
			description={`On ${[...new Set(byCrop.get(crop)?.map(({ field }) => field))].join(', ')}`}
			placeholder="e.g. TRZAW"
			maxLength={12}
			value={codeOf(crop)}
			onChange={(event) => {
				const code = event.currentTarget.value;
				setTyped((now) => ({ ...now, [crop]: code }));
			}}
		/>
	));
	return { crops, entered, inputs };
}

type Numbers = {
	readonly known: readonly (readonly [name: string, number: string])[];
	readonly unknown: readonly string[];
};

/** Authorisation numbers come with the product, not from the person who sprayed. */
function numbersMissing(lines: readonly RecordLine[], products: readonly Product[]): Numbers {
	const lacking = new Map(
		lines.filter(({ authorisationNo }) => !authorisationNo).map((line) => [line.productId, line]),
	);
	const numbers = new Map(products.map(({ id, authorisationNo }) => [id, authorisationNo]));
	const known: (readonly [string, string])[] = [];
	const unknown: string[] = [];
	for (const { productId, product, missing } of lacking.values()) {
		const number = numbers.get(productId);
		if (number) known.push([product, number]);
		else if (missing.includes('authorisation number')) unknown.push(product);
	}
	return { known, unknown };
}

function NumbersMissing({ known, unknown }: Numbers) {
	if (known.length + unknown.length === 0) return null;
	return (
		<div className="notice">
			<span className="word">Look</span>
			<div>
				{known.map(([name, number]) => (
					<p key={name}>
						{name} gets the number {number}, as it now stands with the product.
					</p>
				))}
				{unknown.length > 0 && (
					<p>
						{unknown.join(', ')}: no authorisation number stands with the product. Enter it under{' '}
						<Link href="/store/products">Store, Products</Link> and come back; it is then written into these records.
					</p>
				)}
			</div>
		</div>
	);
}

const ruleNames: Readonly<Record<KnownName, readonly string[]>> = {
	crop: ['crop'],
	eppoCode: ['EPPO code'],
	growthStage: ['growth stage'],
	reason: ['reason'],
	operator: ['operator'],
	certificateNo: ['certificate number'],
	weather: ['wind', 'temperature and humidity'],
	bufferM: [],
	margins: ['buffer assessment'],
	flowering: ['in flower'],
	told: ['neighbours and beekeepers told'],
};

function isAsked(name: KnownName, rules: RuleSet | undefined, lines: readonly RecordLine[]): boolean {
	const always = rules?.items.some(({ item, required }) => required && ruleNames[name].includes(item)) ?? false;
	return always || lines.some(({ missing }) => missing.some((item) => ruleNames[name].includes(item)));
}

/** What can still be entered, with the lines that lack it. */
function openItems(lines: readonly RecordLine[]): Map<KnownName, readonly RecordLine[]> {
	const lacks: Readonly<Record<KnownName, (line: RecordLine) => boolean>> = {
		crop: ({ crop }) => !crop,
		eppoCode: ({ eppoCode }) => !eppoCode,
		reason: ({ reason }) => !reason,
		growthStage: ({ growthStage }) => !growthStage,
		operator: ({ operator }) => !operator,
		certificateNo: ({ certificateNo }) => !certificateNo,
		weather: ({ weather }) =>
			weather?.windSpeedKmh === undefined ||
			weather.temperatureC === undefined ||
			weather.humidityPercent === undefined,
		bufferM: ({ bufferM }) => bufferM === null,
		margins: (line) => line.washings === null && lacksMargins(line, lines),
		flowering: ({ flowering }) => !flowering,
		told: ({ told }) => !told,
	};
	const found = Object.entries(lacks).map(([name, lack]) => [name as KnownName, lines.filter(lack)] as const);
	return new Map(found.filter(([, lacking]) => lacking.length > 0));
}

/** They stand with the products whose labels ask for them, once for the ground of a load. */
function lacksMargins({ fieldId, load }: RecordLine, lines: readonly RecordLine[]): boolean {
	return (
		fieldId !== null &&
		!lines.some((other) => other.fieldId === fieldId && other.load === load && other.assessed !== null)
	);
}

function fieldsOf(lines: readonly RecordLine[]) {
	const names = new Map(lines.flatMap(({ fieldId, field }) => (fieldId === null ? [] : [[fieldId, field] as const])));
	return [...names].map(([fieldId, name]) => ({ fieldId, name }));
}

/** Which lines get it, where not all of them do; for the crop by field, since crops differ from field to field. */
function noteWords(name: KnownName, lacking: readonly RecordLine[], lines: readonly RecordLine[]): string | null {
	if (lacking.length === lines.length) return null;
	if (name !== 'crop' && name !== 'eppoCode' && name !== 'margins')
		return `For ${shareWords(lacking.length, lines.length)}`;
	return `For ${[...new Set(lacking.map(({ field }) => field))].join(', ')}`;
}
