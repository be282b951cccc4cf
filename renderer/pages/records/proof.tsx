import { Button, TextInput } from '@mantine/core';
import { useState } from 'react';
import type { Api } from '../../api.ts';
import { count, figure } from '../../format.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand } from '../../use-procedure.ts';

type Verified = Awaited<ReturnType<Api['records']['verify']>>;

const chainNames: Readonly<Record<string, string>> = {
	records: 'spray records',
	ledger: 'store ledger',
	audit: 'who changed what',
};

/** Walks the books entry by entry, and holds the head of a printed report against them. */
export function Proof() {
	const [printed, setPrinted] = useState('');
	const [asked, setAsked] = useState<string | null>(null);
	const verify = useCommand((api, head: string | null) => api.records.verify(head === null ? {} : { head }));

	async function check(head: string | null): Promise<void> {
		if (await verify.run(head)) setAsked(head === null ? null : printed);
	}

	const outcome = verify.answer && <Outcome verified={verify.answer} printed={asked} />;
	return (
		<section aria-label="Proof" className="proof">
			<h2>Nothing altered?</h2>
			<p className="quiet">
				Every entry carries the seal of the one before it. A change, a gap or a line put in later breaks the row.
			</p>
			<p className="above screen-only">
				<Button variant="default" loading={verify.busy} onClick={() => check(null)}>
					Check every entry
				</Button>
			</p>
			{asked === null && outcome}
			<form
				className="row low screen-only"
				onSubmit={(event) => {
					event.preventDefault();
					void check(sealIn(printed));
				}}
			>
				<TextInput
					className="grow"
					label="Seal from a printed report"
					description="A line at its foot, such as “records 412 · 1a2b3c4d5e6f7081”. Only it shows that the end was cut off."
					required
					minLength={16}
					maxLength={90}
					spellCheck={false}
					autoComplete="off"
					value={printed}
					onChange={(event) => setPrinted(event.currentTarget.value)}
				/>
				<Button type="submit" variant="default" loading={verify.busy}>
					Hold against the book
				</Button>
			</form>
			<ProblemNotice problem={verify.problem} />
			{asked !== null && outcome}
		</section>
	);
}

function Outcome({ verified, printed }: { readonly verified: Verified; readonly printed: string | null }) {
	const { firstBad, found, chains } = verified;
	const entry = printed === null ? null : entryIn(printed);
	const all = chains.reduce((sum, { entries }) => sum + entries, 0);
	return (
		<div className="stack tight" aria-live="polite">
			{firstBad ? (
				<div className="notice stop" role="alert">
					<span className="word">Stop</span>
					<div>
						{printed !== null && !found
							? 'The seal is nowhere in the books. Compare its digits first; if they are right, entries were taken out or rewritten since it was printed.'
							: `In the ${chainNames[firstBad.chain]}: ${firstBad.why}.`}{' '}
						Keep this computer as it is and compare with the newest backup.
					</div>
				</div>
			) : found && entry !== null && entry !== found.seq ? (
				<div className="notice" role="alert">
					<span className="word">Look</span>
					<div>
						The seal is entry {figure(found.seq)} of the {chainNames[found.chain]}, not {figure(entry)} as entered. Read
						both again from the page: if they stand there so, the page was not printed from these books.
					</div>
				</div>
			) : (
				<div className="notice good" role="status">
					<span className="word">Sound</span>
					<div>
						All {count(all, 'entry', 'entries')} follow on from each other.
						{found && ` The seal is entry ${figure(found.seq)} of the ${chainNames[found.chain]}${since(verified)}.`}
						{found?.chain === 'records' &&
							` A line of the page is found by its number, for example “entry 9”; what was written since by “after ${found.seq}”.`}
					</div>
				</div>
			)}
			<table className="table" aria-label="Seals of the newest entries">
				<thead>
					<tr>
						<th scope="col">Book</th>
						<th scope="col" className="number">
							entries
						</th>
						<th scope="col">newest seal</th>
					</tr>
				</thead>
				<tbody>
					{chains.map(({ chain, entries, head }) => (
						<tr key={chain}>
							<td>{chainNames[chain] ?? chain}</td>
							<td className="number">{figure(entries)}</td>
							<td className="seal" title={head}>
								{head.slice(0, 16)}
							</td>
						</tr>
					))}
				</tbody>
			</table>
		</div>
	);
}

/** The seal within what was pasted: `records 412 · 1a2b3c4d5e6f7081`, or digits in groups. */
function sealIn(text: string): string {
	return /[0-9a-f]{16,64}/i.exec(text)?.[0] ?? text.replace(/\s/g, '');
}

/** The number that stands before the seal; null: only the seal was entered. */
function entryIn(text: string): number | null {
	const number = /([\d,]+)\s*·/.exec(text)?.[1]?.replaceAll(',', '');
	return number === undefined ? null : Number(number);
}

function since({ found, chains }: Verified): string {
	const later = (chains.find(({ chain }) => chain === found?.chain)?.entries ?? 0) - (found?.seq ?? 0);
	return later === 0 ? ', the newest' : `, with ${figure(later)} written since`;
}
