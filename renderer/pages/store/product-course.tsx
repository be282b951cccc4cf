import { lazy, Suspense } from 'react';
import type { Movement } from '../../../shared/contract/store.ts';
import { useUnits } from '../../units.ts';
import { stockCourse } from '../season/stock-course.ts';

const StockChart = lazy(() =>
	import('../season/stock-chart.tsx').then(({ StockChart: Chart }) => ({ default: Chart })),
);
const YEAR_MS = 365 * 86_400_000;

/** The stock of one product over the last year as a line; the chart's code is fetched only where one is drawn. */
export function ProductCourse(asked: { readonly rows: readonly Movement[]; readonly unit: string }) {
	const { name, value } = useUnits();
	const unit = name(asked.unit);
	const rows = asked.rows.map((row) => ({
		...row,
		amount: value(row.amount, row.unit),
		balance: value(row.balance, row.unit),
	}));
	const to = Date.now();
	const from = to - YEAR_MS;
	const inYear = rows.filter(({ occurredAt }) => Date.parse(occurredAt) >= from);
	const now = rows[0]?.balance ?? 0;
	const opening = now - inYear.reduce((sum, { amount }) => sum + amount, 0);
	if (inYear.length === 0) return null;
	return (
		<>
			<h2>The last twelve months</h2>
			<div className="stock-chart" aria-hidden="true">
				<Suspense fallback={null}>
					<StockChart points={stockCourse(inYear, opening, { from, to, now: to })} unit={unit} from={from} to={to} />
				</Suspense>
			</div>
		</>
	);
}
