import type { ReactNode } from 'react';
import { longDate } from '../../format.ts';
import { PageHead } from '../../parts/page.tsx';
import { SubNav } from '../../parts/sub-nav.tsx';
import { type Period, PeriodPick } from './period.tsx';

const parts = [
	['/season', 'Ground, tank, store'],
	['/season/statement', 'Statement'],
	['/season/reports', 'Reports'],
] as const;

/** Heading of the chapter: the period, and the choice of another. */
export function SeasonHead(props: {
	readonly at: (typeof parts)[number][0];
	readonly period: Period;
	readonly children?: ReactNode;
}) {
	const { dates, season } = props.period;
	return (
		<>
			<PageHead
				title={season === null ? 'Season' : `Harvest ${season}`}
				under={dates ? `${longDate(dates.from)} to ${longDate(dates.to)}` : 'Choose two dates, the earlier one first.'}
			>
				<div className="period">
					<PeriodPick period={props.period} />
				</div>
				{props.children}
			</PageHead>
			<SubNav label="Parts of the season" parts={parts} at={props.at} />
		</>
	);
}
