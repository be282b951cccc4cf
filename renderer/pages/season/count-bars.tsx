import {
	Bar,
	BarChart,
	CartesianGrid,
	Cell,
	ErrorBar,
	ReferenceLine,
	ResponsiveContainer,
	XAxis,
	YAxis,
} from 'recharts';
import { figure, shortDate } from '../../format.ts';
import { type CountBar, within } from './count-bar.ts';

const TICK = { fill: 'var(--quiet)', fontSize: 13 } as const;

/** Difference per count, above the line more than the book, below less; hollow where measuring explains it. */
export function CountBars({ counts }: { readonly counts: readonly CountBar[] }) {
	const data = counts.map((count) => ({ ...count, whisker: count.likelySize }));
	return (
		<ResponsiveContainer width="100%" height="100%">
			<BarChart data={data} margin={{ top: 12, right: 12, bottom: 0, left: 0 }} accessibilityLayer={false}>
				<CartesianGrid vertical={false} stroke="var(--rule)" />
				<XAxis dataKey="id" tickFormatter={(id: string) => dayOf(data, id)} tick={TICK} tickLine={false} />
				<YAxis
					width={58}
					tickFormatter={(value: number) =>
						figure(value, [0, 1].find((digits) => Number.isInteger(value * 10 ** digits)) ?? 2)
					}
					tick={TICK}
					tickLine={false}
					axisLine={false}
				/>
				<ReferenceLine y={0} stroke="var(--ink)" />
				<Bar dataKey="difference" maxBarSize={36} isAnimationActive={false}>
					{data.map((count) => (
						<Cell
							key={count.id}
							fill={within(count) ? 'var(--paper)' : 'var(--damson)'}
							stroke="var(--damson)"
							strokeWidth={1.6}
						/>
					))}
					<ErrorBar dataKey="whisker" width={8} stroke="var(--ink)" strokeWidth={1.4} isAnimationActive={false} />
				</Bar>
			</BarChart>
		</ResponsiveContainer>
	);
}

function dayOf(counts: readonly CountBar[], id: string): string {
	return shortDate(counts.find((count) => count.id === id)?.on);
}
