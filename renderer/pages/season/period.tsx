import { Button } from '@mantine/core';
import { useSessionStorage } from '@mantine/hooks';
import { seasonDates, seasonOf } from '../../../shared/basics/calendar.ts';
import { useBook } from '../../api.ts';
import { longDate, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Pick } from '../../parts/pick.tsx';
import { useProcedure } from '../../use-procedure.ts';

const SEASONS_BACK = 15;

/** `own`: dates of one's own. Nothing kept: the season of today. */
type Kept = { readonly season?: number | 'own'; readonly from?: string; readonly to?: string };

/** The period a chapter looks at. Null dates: the two dates do not make a period yet. */
export type Period = {
	readonly season: number | null;
	readonly dates: { readonly from: string; readonly to: string } | null;
	/** `harvest 2027` */
	readonly words: string;
	/** `in harvest 2027` */
	readonly during: string;
	readonly present: number;
	readonly startMonth: number;
	readonly kept: Kept;
	readonly keep: (kept: Kept) => void;
};

/** Records and Season look at one period, kept for this window: the harvest year of today, another, or own dates. */
export function usePeriod(): Period {
	const book = useBook();
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	const startMonth = settings.answer?.seasonStartMonth ?? 1;
	const present = seasonOf(today(), startMonth);
	const [kept, keep] = useSessionStorage<Kept>({
		key: `fillmark-period-${book}`,
		defaultValue: {},
		getInitialValueInEffect: false,
	});
	const season = kept.season === 'own' ? null : (kept.season ?? present);
	const dates = season === null ? ownDates(kept) : seasonDates(season, startMonth);
	const words = wordsOf(season, dates);
	const during = season === null ? `from ${words}` : `in ${words}`;
	return { season, dates, words, during, present, startMonth, kept, keep };
}

/** Chooses the period: one list of harvest years, two dates only for those who want their own. */
export function PeriodPick({ period }: { readonly period: Period }) {
	const { kept, keep, present, startMonth } = period;
	const years = Array.from({ length: SEASONS_BACK }, (_, index) => String(present - index));
	const options = [
		...years.map((year) => ({ value: year, label: `Harvest ${year}` })),
		{ value: 'own', label: 'Own dates' },
	];

	function choose(value: string | null): void {
		if (value === 'own') {
			const from = period.dates ?? seasonDates(present, startMonth);
			keep({ season: 'own', ...from });
		} else if (value !== null) keep({ season: Number(value) });
	}

	return (
		<>
			<Pick
				label="Period"
				options={options}
				value={kept.season === 'own' ? 'own' : String(period.season)}
				onChange={choose}
			/>
			{kept.season === 'own' && (
				<>
					<DateInput label="From" value={kept.from ?? null} onChange={(from) => keep(withDate(kept, 'from', from))} />
					<DateInput label="To" value={kept.to ?? null} onChange={(to) => keep(withDate(kept, 'to', to))} />
				</>
			)}
		</>
	);
}

/** Leads to the season before, where this one is empty and the books reach back that far. */
export function SeasonBefore({ period }: { readonly period: Period }) {
	const begins = useProcedure(['about'], (api) => api.upkeep.about({})).answer?.begins ?? null;
	const before = (period.season ?? period.present) - 1;
	if (begins === null || begins > seasonDates(before, period.startMonth).to) return null;
	return (
		<Button variant="default" onClick={() => period.keep({ season: before })}>
			Look at harvest {before}
		</Button>
	);
}

function withDate({ from, to }: Kept, which: 'from' | 'to', date: string | null): Kept {
	const dates = { from, to, [which]: date ?? undefined };
	return { season: 'own', ...(dates.from ? { from: dates.from } : {}), ...(dates.to ? { to: dates.to } : {}) };
}

function ownDates({ from, to }: Kept): Period['dates'] {
	return from && to && from <= to ? { from, to } : null;
}

function wordsOf(season: number | null, dates: Period['dates']): string {
	if (season !== null) return `harvest ${season}`;
	return dates ? `${longDate(dates.from)} to ${longDate(dates.to)}` : 'no period';
}
