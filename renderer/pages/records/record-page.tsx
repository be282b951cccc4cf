import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { figure, longDate, productName, shortDate, timeOfDay } from '../../format.ts';
import { portionWord } from '../../kind-words.ts';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { FollowedRecommendation } from '../recommendations/follows.tsx';
import { CompleteDialog } from './complete-dialog.tsx';
import { CorrectDialog } from './correct-dialog.tsx';
import { isWrittenLate, itemText, leftOpenBy, recordGroups } from './record-items.ts';
import { lineDose, lineGround } from './treatments.ts';

/** One record: what it says now beside what it said before, and what the rules still ask for. */
export function RecordPage({ id }: { readonly id: string }) {
	const versions = useProcedure(['records', 'versions', id], (api) => api.records.versions({ id }));
	const now = versions.answer?.at(-1);
	return (
		<Page title={now ? `${now.field}, ${now.product}` : 'Record'} columns={now ? 'two' : 'one'}>
			<Answered asked={versions}>{(all) => <OneRecord versions={all} />}</Answered>
		</Page>
	);
}

function OneRecord({ versions }: { readonly versions: readonly RecordLine[] }) {
	const [opened, setOpened] = useState<'correct' | 'complete' | null>(null);
	const close = () => setOpened(null);
	const [now] = versions.slice(-1);
	const ofJob = useProcedure(
		['records', 'job', now?.jobId],
		(api) => api.records.list({ jobId: now?.jobId ?? '', reversed: true }),
		{ enabled: now !== undefined },
	);
	if (!now) return null;
	const lines = ofJob.answer ?? [now];
	return (
		<>
			<section>
				<p className="quiet small screen-only">
					<Link href="/records">Records</Link> ·{' '}
					<Link href={`/jobs/${now.jobId}`}>
						the job, {portionWord(now.kind)} {now.load}
					</Link>
				</p>
				<PageHead
					title={`${now.product} ${now.space ? 'in' : 'on'} ${now.field}`}
					under={`${longDate(now.date)} · ${lineGround(now)} at ${lineDose(now)}`}
				>
					{now.state === 'current' && (
						<Button variant="default" onClick={() => setOpened('correct')}>
							Correct it
						</Button>
					)}
				</PageHead>
				<Standing now={now} onComplete={() => setOpened('complete')} />
				{versions.length === 1 ? <AsLogged line={now} /> : <Versions versions={[...versions].reverse()} />}
			</section>
			<section aria-label="About this record">
				<RulesFor now={now} />
				<FollowedRecommendation jobId={now.jobId} sprayed={[{ load: now.load, on: now.date }]} />
				<SameJob now={now} lines={lines} />
				<h2>Seal</h2>
				<p className="quiet">
					Entry {figure(now.seq)} of the spray records, seal <span className="seal">{now.hash.slice(0, 16)}</span>
				</p>
			</section>
			<CorrectDialog line={now} opened={opened === 'correct'} onClose={close} />
			<CompleteDialog jobId={now.jobId} opened={opened === 'complete'} onClose={close} />
		</>
	);
}

/** What to know before reading: taken back, taken over from the plan, or not complete. */
function Standing({ now, onComplete }: { readonly now: RecordLine; readonly onComplete: () => void }) {
	if (now.state === 'reversed') {
		return (
			<p>
				<span className="chip plain">taken back</span> {now.why}. The load did not count; the line stays to be read.
			</p>
		);
	}
	return (
		<>
			{now.findings.length > 0 && (
				<div className="notice" role="status">
					<span className="word">Limits</span>
					<div>
						{now.findings.join(' ')}
						{now.overrideWhy && (
							<>
								{' '}
								<b>Went on because:</b> {now.overrideWhy}
							</>
						)}
					</div>
				</div>
			)}
			{now.findings.length === 0 && now.overrideWhy && (
				<p>
					<b>Went on against a warning because:</b> {now.overrideWhy}
				</p>
			)}
			{!now.confirmed && (
				<p className="above-small">
					<span className="chip plain">as planned</span> Nobody entered what was really poured: the amount is the
					planned one.
				</p>
			)}
			{now.missing.length > 0 && (
				<div className="row">
					<span className="chip">lacks {now.missing.join(', ')}</span>
					<Button className="screen-only" variant="default" size="xs" onClick={onComplete}>
						Complete the whole job
					</Button>
				</div>
			)}
		</>
	);
}

/** A record nobody touched since the load was logged. */
function AsLogged({ line }: { readonly line: RecordLine }) {
	const units = useUnits();
	return (
		<>
			<div className="record-facts">
				{recordGroups.map(({ title, items }) => (
					<section key={title}>
						<h2>{title}</h2>
						<Facts items={items.map((item) => [item.name, itemText(item, line, units)])} />
					</section>
				))}
			</div>
			<p className="quiet small above">
				As logged by {line.by}, {shortDate(line.writtenAt)} {timeOfDay(line.writtenAt)}. Nothing was changed since.
			</p>
		</>
	);
}

/** Newest first; in each version what differs from the one before it is marked. */
function Versions({ versions }: { readonly versions: readonly RecordLine[] }) {
	const units = useUnits();
	return (
		<div className="table-frame above">
			<table className="table versions" aria-label="What the record says, version by version">
				<thead>
					<tr>
						<th scope="col">Item</th>
						{versions.map((version, index) => (
							<th key={version.version} scope="col">
								<VersionHead version={version} newest={index === 0} />
							</th>
						))}
					</tr>
				</thead>
				<tbody>
					{recordGroups
						.flatMap(({ items }) => items)
						.map((item) => (
							<tr key={item.name}>
								<th scope="row">{item.name}</th>
								{versions.map((version, index) => {
									const before = versions[index + 1];
									const text = itemText(item, version, units);
									const changed = before !== undefined && text !== itemText(item, before, units);
									return (
										<td key={version.version}>
											{changed ? <mark title={`before: ${itemText(item, before, units)}`}>{text}</mark> : text}
										</td>
									);
								})}
							</tr>
						))}
				</tbody>
			</table>
		</div>
	);
}

function VersionHead({ version, newest }: { readonly version: RecordLine; readonly newest: boolean }) {
	const why = version.version === 1 ? 'as logged' : version.why;
	return (
		<>
			<b>{newest ? `Now, version ${version.version}` : `Version ${version.version}`}</b>
			<span className="second">
				{version.by}, {shortDate(version.writtenAt)} {timeOfDay(version.writtenAt)}
			</span>
			<span className="second">{why}</span>
			<span className="second">
				entry {figure(version.seq)} · <span className="seal">{version.hash.slice(0, 16)}</span>
			</span>
		</>
	);
}

function RulesFor({ now }: { readonly now: RecordLine }) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const ruleSets = useProcedure(['rule sets'], (api) => api.records.ruleSets({}));
	const rules = ruleSets.answer?.find(({ id }) => id === settings.answer?.ruleSet);
	if (!rules) return null;
	const open = leftOpenBy(now, rules);
	return (
		<>
			<h2>Against the record rules</h2>
			<p>
				{now.missing.length === 0 ? 'Complete' : 'Not complete'} against rule set{' '}
				<Link href="/settings/rules">{rules.name}</Link> of {longDate(rules.asOf)}.
			</p>
			{open.length > 0 && <p>Good to have and not said: {open.join(', ')}. “Correct it” takes it in.</p>}
			<p className="quiet small">
				{now.writeBy !== null && (
					<>
						{isWrittenLate(now) && <span className="chip">late</span>} Written {longDate(now.createdAt)}, asked for by{' '}
						{longDate(now.writeBy)}.{' '}
					</>
				)}
				Keep it until {longDate(now.keepUntil)}. The rules tell what a record should hold; whether the treatment was
				allowed, they do not tell.
			</p>
		</>
	);
}

/** The other products of the same job on the same field: a tank is read together. */
function SameJob({ now, lines }: { readonly now: RecordLine; readonly lines: readonly RecordLine[] }) {
	const others = lines.filter(
		({ id, field, fieldId, state }) =>
			id !== now.id && (fieldId ?? field) === (now.fieldId ?? now.field) && state === 'current',
	);
	if (others.length === 0) return null;
	return (
		<>
			<h2>
				In the same job {now.space ? 'in' : 'on'} {now.field}
			</h2>
			<ul className="plain-list ruled">
				{others.map((line) => (
					<li key={line.id}>
						<Link href={`/records/${line.id}`}>{productName(line.product, line.formulation)}</Link>
						<span className="quiet">
							{portionWord(line.kind)} {line.load}, {lineDose(line)}
							{line.washings && ', washings'}
						</span>
					</li>
				))}
			</ul>
		</>
	);
}
