import { CartesianGrid, Line, LineChart, ReferenceLine, ResponsiveContainer, Tooltip, XAxis, YAxis } from 'recharts';
import { amount, figure, shortDate, signed } from '../../format.ts';
import { monthStarts, type StockPoint } from './stock-course.ts';
import { StockMarkShape } from './stock-mark.tsx';

export type StockChartProps = {
	readonly points: readonly StockPoint[];
	readonly unit: string;
	readonly from: number;
	readonly to: number;
};

const TICK = { fill: 'var(--quiet)', fontSize: 13 } as const;

/** The stock of one product as a stair: up with deliveries, down with loads. */
export function StockChart({ points, unit, from, to }: StockChartProps) {
	const least = Math.min(0, ...points.map(({ balance }) => balance));
	return (
		<ResponsiveContainer width="100%" height="100%">
			<LineChart data={[...points]} margin={{ top: 12, right: 12, bottom: 0, left: 0 }} accessibilityLayer={false}>
				<CartesianGrid vertical={false} stroke="var(--rule)" />
				<XAxis
					dataKey="at"
					type="number"
					scale="time"
					domain={[from, to]}
					ticks={monthStarts(from, to)}
					tickFormatter={monthOf}
					interval="equidistantPreserveStart"
					tick={TICK}
					stroke="var(--rule-strong)"
					tickLine={false}
				/>
				<YAxis
					width={58}
					domain={[least, 'auto']}
					tickFormatter={(value: number) => figure(value)}
					tick={TICK}
					stroke="var(--rule-strong)"
					tickLine={false}
					axisLine={false}
				/>
				{least < 0 && <ReferenceLine y={0} stroke="var(--ink)" />}
				<Tooltip
					isAnimationActive={false}
					cursor={{ stroke: 'var(--rule-strong)' }}
					content={({ active, payload }) => {
						const point = payload?.[0]?.payload as StockPoint | undefined;
						return active && point ? <Note point={point} unit={unit} /> : null;
					}}
				/>
				<Line
					dataKey="balance"
					type="stepAfter"
					stroke="var(--damson)"
					strokeWidth={2}
					isAnimationActive={false}
					activeDot={false}
					dot={({ cx, cy, payload, key }) => (
						<StockMarkShape key={key} mark={(payload as StockPoint).mark} x={cx ?? 0} y={cy ?? 0} />
					)}
				/>
			</LineChart>
		</ResponsiveContainer>
	);
}

function Note({ point, unit }: { readonly point: StockPoint; readonly unit: string }) {
	return (
		<div className="chart-note">
			{shortDate(new Date(point.at).toISOString())}, {point.what}
			{point.change !== 0 && ` ${signed(point.change, 2)} ${unit}`}
			<br />
			<b>{amount(Number(point.balance.toFixed(2)), unit)}</b> in the store
		</div>
	);
}

/** `Oct` */
function monthOf(at: number): string {
	return shortDate(new Date(at).toISOString()).split(' ')[1] ?? '';
}
