import { CartesianGrid, Line, LineChart, ResponsiveContainer, Tooltip, XAxis, YAxis } from 'recharts';
import { monthNames } from '../../../shared/basics/calendar.ts';
import { amount, figure } from '../../format.ts';
import { courseLooks, monthDays, type UseCourse } from './use-course.ts';

export type UseChartProps = {
	readonly courses: readonly UseCourse[];
	readonly unit: string;
	readonly startMonth: number;
};

const TICK = { fill: 'var(--quiet)', fontSize: 13 } as const;
const YEAR_DAYS = 365;

/** Use of one product over a season, the seasons laid over each other from their first day. */
export function UseChart({ courses, unit, startMonth }: UseChartProps) {
	const months = monthDays(courses[0]?.season ?? 2000, startMonth);
	const nameOf = (day: number) => monthNames[(months.find((each) => each.day === day)?.month ?? 1) - 1]?.slice(0, 3);
	return (
		<ResponsiveContainer width="100%" height="100%">
			<LineChart margin={{ top: 12, right: 12, bottom: 0, left: 0 }} accessibilityLayer={false}>
				<CartesianGrid vertical={false} stroke="var(--rule)" />
				<XAxis
					dataKey="day"
					type="number"
					domain={[0, YEAR_DAYS]}
					allowDuplicatedCategory={false}
					ticks={months.map(({ day }) => day)}
					tickFormatter={(day: number) => nameOf(day) ?? ''}
					interval="equidistantPreserveStart"
					tick={TICK}
					stroke="var(--rule-strong)"
					tickLine={false}
				/>
				<YAxis
					width={58}
					domain={[0, 'auto']}
					tickFormatter={(value: number) => figure(value)}
					tick={TICK}
					stroke="var(--rule-strong)"
					tickLine={false}
					axisLine={false}
				/>
				<Tooltip
					isAnimationActive={false}
					cursor={{ stroke: 'var(--rule-strong)' }}
					content={({ active, label }) =>
						active && typeof label === 'number' ? <Note courses={courses} day={label} unit={unit} /> : null
					}
				/>
				{[...courses].reverse().map((course) => (
					<Line
						key={course.season}
						data={[...course.points]}
						dataKey="used"
						type="stepAfter"
						isAnimationActive={false}
						dot={false}
						activeDot={false}
						{...lineOf(courses.indexOf(course))}
					/>
				))}
			</LineChart>
		</ResponsiveContainer>
	);
}

function lineOf(index: number) {
	const { strokeDasharray, ...line } = courseLooks[Math.min(index, courseLooks.length - 1)] ?? courseLooks[0];
	return strokeDasharray === undefined ? line : { ...line, strokeDasharray };
}

function Note({ courses, day, unit }: { courses: readonly UseCourse[]; day: number; unit: string }) {
	const used = (course: UseCourse) => course.points.findLast((point) => point.day <= day)?.used ?? 0;
	return (
		<div className="chart-note">
			{courses.map((course) => (
				<div key={course.season}>
					harvest {course.season}: <b>{amount(Number(used(course).toFixed(2)), unit)}</b>
				</div>
			))}
			by that day
		</div>
	);
}
