import { lazy, Suspense } from 'react';
import { seasonDates } from '../../../shared/basics/calendar.ts';
import { amount, count, longDate, signed, today } from '../../format.ts';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { within } from './count-bar.ts';
import { courseLooks, coursesOfUse } from './use-course.ts';

const UseChart = lazy(() => import('./use-chart.tsx').then((module) => ({ default: module.UseChart })));
const CountBars = lazy(() => import('./count-bars.tsx').then((module) => ({ default: module.CountBars })));

const SEASONS = 4;
const MOST_COUNTS = 8;

type Asked = {
	readonly productId: string;
	readonly name: string;
	readonly unit: string;
	/** Harvest year that is looked at, and the month in which seasons begin. */
	readonly season: number;
	readonly startMonth: number;
};

/** One product over the years: its use, season beside season, and by how much each count differed. */
export function ProductYears(asked: Asked) {
	return (
		<>
			<UseOverYears {...asked} />
			<CountsOverYears {...asked} />
		</>
	);
}

function UseOverYears({ productId, name, unit: kept, season, startMonth }: Asked) {
	const units = useUnits();
	const unit = units.name(kept);
	const { from } = seasonDates(season - SEASONS + 1, startMonth);
	const { to } = seasonDates(season, startMonth);
	const movements = useProcedure(['store', 'movements', productId, from, to, 'all'], (api) =>
		api.store.movements({ productId, from, to, limit: 100_000 }),
	);
	const courses = coursesOfUse(
		(movements.answer ?? []).map((row) => ({ ...row, amount: units.value(row.amount, kept) })),
		{ startMonth, until: today() },
	).slice(0, SEASONS);
	if (courses.length === 0) return null;
	const told = courses.map(({ season: year, total }) => `harvest ${year} ${amount(Number(total.toFixed(2)), unit)}`);
	return (
		<section aria-label={`${name}, use over the season`}>
			<h2 className="next">Use over the season</h2>
			<figure style={{ margin: 0 }}>
				<div className="stock-chart" role="img" aria-label={`${name} that went into loads: ${told.join(', ')}.`}>
					<Suspense fallback={null}>
						<UseChart courses={courses} unit={unit} startMonth={startMonth} />
					</Suspense>
				</div>
				<ul className="legend">
					{courses.map(({ season: year, total }, index) => (
						<li key={year}>
							<svg width="30" height="10" viewBox="0 0 30 10" aria-hidden="true">
								<path d="M0 5h30" fill="none" {...courseLooks[Math.min(index, courseLooks.length - 1)]} />
							</svg>
							harvest {year}, {amount(Number(total.toFixed(2)), unit)}
						</li>
					))}
				</ul>
			</figure>
		</section>
	);
}

function CountsOverYears({ productId, name, unit: kept, season, startMonth }: Asked) {
	const units = useUnits();
	const unit = units.name(kept);
	const { to } = seasonDates(season, startMonth);
	const asked = useProcedure(['store', 'counts', productId, to], (api) => api.store.counts({ productId, to }));
	const counts = (asked.answer ?? [])
		.slice(0, MOST_COUNTS)
		.reverse()
		.map((one) => ({
			...one,
			difference: units.value(one.difference, kept),
			likelySize: units.value(one.likelySize, kept),
		}));
	if (counts.length === 0) return null;
	const told = counts.map(({ on, difference }) => `${longDate(on)} ${signed(difference, 2)} ${unit}`);
	return (
		<section aria-label={`${name}, difference per count`}>
			<h2 className="next">Difference per count</h2>
			<figure style={{ margin: 0 }}>
				<div
					className="stock-chart low"
					role="img"
					aria-label={`${count(counts.length, 'count')} of ${name} against the book: ${told.join(', ')}.`}
				>
					<Suspense fallback={null}>
						<CountBars counts={counts} />
					</Suspense>
				</div>
				<p className="quiet small">
					Counted less book, in {unit}. The whisker is what measuring leaves open
					{counts.some(within) ? '; a hollow bar lies within it' : ''}.
				</p>
			</figure>
		</section>
	);
}
