import { Checkbox } from '@mantine/core';
import { figure } from '../../format.ts';
import { useUnits } from '../../units.ts';
import { edgeKey, type Side } from './sides.ts';

/** More lines than this are no list to read; the map takes any number. */
const MOST_LINES = 80;

/** The sides or edges of a field in words: what is picked on the map can be ticked here. */
export function SideList(props: {
	readonly legend: string;
	readonly sides: readonly Side[];
	/** Keys of edges. */
	readonly chosen: ReadonlySet<string>;
	readonly onToggle: (letter: string) => void;
}) {
	const units = useUnits();
	const { sides, chosen } = props;
	if (sides.length > MOST_LINES)
		return <p className="quiet small">This boundary has {figure(sides.length)} edges: press them on the map.</p>;
	return (
		<fieldset className="group side-list">
			<legend className="entry-label">{props.legend}</legend>
			{sides.map((side) => {
				const many = side.edges.filter((edge) => chosen.has(edgeKey(edge))).length;
				return (
					<Checkbox
						key={side.letter}
						my={8}
						checked={many === side.edges.length}
						indeterminate={many > 0 && many < side.edges.length}
						onChange={() => props.onToggle(side.letter)}
						label={`${side.letter} · ${units.figure(side.lengthM, 'm')} ${units.name('m')} ${sideWords(side)}`}
					/>
				);
			})}
		</fieldset>
	);
}

/** `on the south`, or round an island. */
export function sideWords({ hole, faces }: Pick<Side, 'hole' | 'faces'>): string {
	return hole ? 'round an island' : `on the ${faces}`;
}
