import { Button } from '@mantine/core';
import { useState } from 'react';
import type { Collection, Empties } from '../../../shared/contract/waste.ts';
import { count, longDate, shortDate } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { CollectionForm } from './collection-form.tsx';
import { Account, ByProduct } from './empties-account.tsx';
import { CountForm } from './empties-count.tsx';
import { BagForm, RinseForm, TakeBackForm } from './empties-forms.tsx';
import { size } from './stock-words.ts';
import { StoreNav } from './store-nav.tsx';
import './store.css';
import { useUnits } from '../../units.ts';

type Opened = 'collect' | 'count' | 'bag' | 'rinse' | Collection | null;

/** The account of containers: what came in, what stands, what waits, what was collected against which note. */
export function EmptiesSection() {
	const empties = useProcedure(['waste', 'empties'], (api) => api.waste.empties({}));
	const [opened, setOpened] = useState<Opened>(null);
	const close = () => setOpened(null);
	const answer = empties.answer;
	const any = answer !== undefined && answer.sizes.length > 0;
	return (
		<Page title="Empties" columns={any ? 'two' : 'one'}>
			<section>
				<PageHead title="Store" under={answer && any ? summary(answer) : undefined}>
					{any && (
						<>
							<Button variant="default" onClick={() => setOpened('count')}>
								Count them
							</Button>
							<Button variant="default" onClick={() => setOpened('bag')}>
								Close a bag
							</Button>
							<Button onClick={() => setOpened('collect')}>Book a collection</Button>
						</>
					)}
				</PageHead>
				<StoreNav at="/store/empties" />
				<Answered asked={empties}>
					{(rows) =>
						any ? (
							<>
								<Account rows={rows.sizes} />
								<ByProduct products={rows.products} sizes={rows.sizes} />
							</>
						) : (
							<Empty title="No container came in yet.">
								Containers are counted from the deliveries and loads; the empties of logged loads wait here until they
								are collected.
							</Empty>
						)
					}
				</Answered>
			</section>
			{answer && any && <Beside answer={answer} onOpen={setOpened} />}
			<Dialog title="Book a collection" opened={opened === 'collect'} onClose={close} size="wide">
				{answer && <CollectionForm empties={answer} onClose={close} />}
			</Dialog>
			<Dialog title="Count the empties" opened={opened === 'count'} onClose={close}>
				{answer && <CountForm sizes={answer.sizes} onClose={close} />}
			</Dialog>
			<Dialog title="Close a bag of caps and foils" opened={opened === 'bag'} onClose={close}>
				<BagForm loose={answer ? looseWords(answer.bags.loose) : ''} onClose={close} />
			</Dialog>
			<Dialog title="How were they rinsed?" opened={opened === 'rinse'} onClose={close} size="wide">
				{answer && <RinseForm loads={answer.loads} onClose={close} />}
			</Dialog>
			<Dialog title="Take back the collection" opened={opened !== null && typeof opened === 'object'} onClose={close}>
				{opened !== null && typeof opened === 'object' && <TakeBackForm collection={opened} onClose={close} />}
			</Dialog>
		</Page>
	);
}

function Beside({ answer, onOpen }: { readonly answer: Empties; readonly onOpen: (opened: Opened) => void }) {
	const waiting = answer.sizes.reduce((sum, row) => sum + row.waiting, 0);
	const loose = looseWords(answer.bags.loose);
	const silent = answer.loads.filter(({ rinsed }) => rinsed === null).length;
	const dirty = answer.sizes.reduce((sum, row) => sum + row.notRinsed, 0);
	return (
		<section aria-label="Waiting and collected">
			<p className="big-figure store">
				{waiting} <small>{waiting === 1 ? 'empty waits' : 'empties wait'}</small>
			</p>
			<Facts
				items={[
					['Bags of caps and foils', count(answer.bags.waiting, 'bag')],
					loose !== '' && [answer.bags.since ? `Since ${shortDate(answer.bags.since)}` : 'Not in a bag yet', loose],
					dirty > 0 && ['Not rinsed', `${count(dirty, 'container')} of those waiting`],
				]}
			/>
			{silent > 0 && (
				<div className="notice above" role="status">
					<span className="word">Look</span>
					<div>
						{count(silent, 'load')} emptied containers and nobody noted how they were rinsed.
						<div className="above-small">
							<Button size="xs" variant="default" onClick={() => onOpen('rinse')}>
								Note it
							</Button>
						</div>
					</div>
				</div>
			)}
			<h2>Collections</h2>
			{answer.collections.length === 0 ? (
				<p className="quiet">Nothing was collected yet.</p>
			) : (
				<ul className="plain-list notes">
					{answer.collections.map((each) => (
						<OneCollection key={each.id} collection={each} onTakeBack={() => onOpen(each)} />
					))}
				</ul>
			)}
			<div className="above">
				<Cautions lines={cautions} />
			</div>
		</section>
	);
}

/** `12 caps, 8 foils`, and how many containers nobody entered the closure of. */
export function looseWords({ caps, foils, notEntered }: Empties['bags']['loose']): string {
	return [
		...(caps > 0 ? [count(caps, 'cap')] : []),
		...(foils > 0 ? [count(foils, 'foil')] : []),
		...(notEntered > 0 ? [`those of ${count(notEntered, 'container')} whose closure is not entered`] : []),
	].join(', ');
}

function OneCollection({
	collection,
	onTakeBack,
}: {
	readonly collection: Collection;
	readonly onTakeBack: () => void;
}) {
	const { on, carrier, registrationNo, noteNo, keepUntil, lines, takenBack } = collection;
	return (
		<li className={takenBack === null ? undefined : 'quiet'}>
			<div className="row spread">
				<b>
					{shortDate(on)}, note {noteNo}
				</b>
				{takenBack === null && (
					<Button size="xs" variant="subtle" onClick={onTakeBack} aria-label={`Take back note ${noteNo}`}>
						Take back
					</Button>
				)}
			</div>
			{[...Map.groupBy(lines, ({ kind, size: each, unit }) => `${kind} ${each} ${unit}`)].map(([key, same]) => (
				<CollectedLine key={key} lines={same} />
			))}
			<span className="second quiet small">
				{carrier}, {registrationNo} ·{' '}
				{takenBack === null ? `keep the note until ${longDate(keepUntil)}` : `taken back: ${takenBack}`}
			</span>
		</li>
	);
}

/** Pieces of one kind and size, and whose they were where that was told. */
function CollectedLine({ lines }: { readonly lines: Collection['lines'] }) {
	const { say } = useUnits();
	const [first] = lines;
	if (!first) return null;
	const pieces = lines.reduce((sum, line) => sum + line.pieces, 0);
	const told = lines.some(({ product }) => product !== null);
	return (
		<span className="second">
			{first.size === null
				? loosely(first.kind, pieces)
				: `${pieces} × ${say(`${size(first.size)} ${first.unit}`)} ${first.kind}`}{' '}
			({first.code})
			{told && (
				<span className="second quiet small">
					{lines.map((line) => `${line.pieces} ${line.product ?? 'not told'}`).join(' · ')}
				</span>
			)}
		</span>
	);
}

/** What has no size: bags are counted, the rest is weighed. */
function loosely(kind: string, pieces: number): string {
	return `${kind === 'caps and foils' ? count(pieces, 'bag') : `${pieces} kg`} of ${kind}`;
}

/** From trade guides and NetRegs; the rules of the country come first. */
const cautions = [
	'Rinsed and drained, a container counts as non-hazardous waste; one that was not rinsed is hazardous and costs more.',
	'Rinse while filling, drain 30 seconds with the opening lowest, and let the rinsings go into the tank.',
	'Never burn or bury containers. Hand them to a licensed contractor and keep the note: 2 years, hazardous waste 3 years.',
	'Caps and foils go into a double bag of their own. Keep clean and dirty apart, dry and locked, at most a year.',
	'Times and codes differ from country to country: ask the contractor and the local authority.',
];

function summary({ sizes, bags }: Empties): string {
	const waiting = sizes.reduce((sum, row) => sum + row.waiting, 0);
	const missing = sizes.reduce((sum, row) => sum + Math.abs(row.missing), 0);
	const parts = [`${count(waiting, 'empty', 'empties')} waiting`, `${count(bags.waiting, 'bag')} of caps and foils`];
	if (missing > 0) parts.push(`${missing} unaccounted`);
	return parts.join(' · ');
}
