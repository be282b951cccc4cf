import { shortDate, timeOfDay } from '../../format.ts';

/** When something was done to the ground, and by whom, in a table. */
export function WhenAndWho(props: {
	readonly row: { readonly startedAt: string; readonly finishedAt: string; readonly operator: string };
}) {
	const { startedAt, finishedAt, operator } = props.row;
	return (
		<>
			<span className="nowrap">{shortDate(startedAt)}</span>
			<span className="second nowrap">
				{timeOfDay(startedAt)} – {timeOfDay(finishedAt)}, {operator}
			</span>
		</>
	);
}
