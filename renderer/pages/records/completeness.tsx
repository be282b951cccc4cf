import { Link } from 'wouter';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { count, figure, longDate } from '../../format.ts';
import { useProcedure } from '../../use-procedure.ts';
import { isWrittenLate, leftOpenBy } from './record-items.ts';

/** How far the records of the period hold what the chosen rules ask for. Never whether they are lawful. */
export function Completeness({ lines, words }: { readonly lines: readonly RecordLine[]; readonly words: string }) {
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const ruleSets = useProcedure(['rule sets'], (api) => api.records.ruleSets({}));
	const rules = ruleSets.answer?.find(({ id }) => id === settings.answer?.ruleSet);
	const standing = lines.filter(({ state }) => state === 'current');
	const lacking = standing.filter(({ missing }) => missing.length > 0);
	if (!rules || standing.length === 0) return null;
	const late = standing.filter(isWrittenLate).length;
	const open = tally(standing.map((line) => leftOpenBy(line, rules)));
	return (
		<section aria-label="Completeness">
			<h2>Against the record rules</h2>
			<p className="big-figure">
				{figure(standing.length - lacking.length)}
				<small>of {figure(standing.length)} lines</small>
			</p>
			<p>
				are complete against rule set <Link href="/settings/rules">{rules.name}</Link> of {longDate(rules.asOf)}.
			</p>
			{lacking.length > 0 && (
				<table className="table" aria-label="What is missing">
					<tbody>
						{tally(lacking.map(({ missing }) => missing)).map(([item, many]) => (
							<tr key={item}>
								<td>
									<span className="chip">{item}</span>
								</td>
								<td className="number">{figure(many)} lack it</td>
							</tr>
						))}
					</tbody>
				</table>
			)}
			{late > 0 && (
				<p className="small">
					<span className="chip">late</span> {count(late, 'line was', 'lines were')} written later than{' '}
					{figure(rules.writeWithin?.days)} days after the use.
				</p>
			)}
			{open.length > 0 && (
				<p className="quiet small">
					Good to have of the margins assessed:{' '}
					{open.map(([item, many]) => `${item} (${figure(many)} lack it)`).join(', ')}.
				</p>
			)}
			<p className="quiet small">
				Keep the records of {words} until {longDate(keepUntil(standing, rules.keepYears))}, longer where a contract or
				scheme asks for it.
			</p>
		</section>
	);
}

function tally(items: readonly (readonly string[])[]): [string, number][] {
	const many = new Map<string, number>();
	for (const item of items.flat()) many.set(item, (many.get(item) ?? 0) + 1);
	return [...many].sort(([, a], [, b]) => b - a);
}

/** To the end of the newest record's year, and so many years more. */
function keepUntil(lines: readonly RecordLine[], years: number): string {
	const newest = Math.max(...lines.map(({ date }) => Number(date.slice(0, 4))));
	return `${newest + years}-12-31`;
}
