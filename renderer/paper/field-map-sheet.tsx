import type { FieldMapPaper } from '../../shared/contract/fields-papers.ts';
import { figure, longDate, timeOfDay } from '../format.ts';
import { classesOf, classKey } from '../map/field-classes.ts';
import { type Look, LookPattern, LookSample, leftOutLooks, lookOf, tokenOf } from '../map/looks.tsx';
import { type Units, useUnits } from '../units.ts';
import { type Lettering, type MapLayout, MOST_NUMBERED, mapLayout } from './map-layout.ts';

/** Patterns repeat in any five neighbours of the legend: beyond that many classes, a letter tells them apart as well. */
const BY_PATTERN = 5;
/** Mm of paper for a px of the pattern on screen. */
const PATTERN_MM = 0.26;

export function layoutOf(map: FieldMapPaper, units: Units): MapLayout {
	const letters = lettersOf(map);
	return mapLayout(
		map.fields.map((field) => {
			const letter = letters.get(classKey(field, map.by));
			const strip = field.edgeStripM === null ? '' : `${units.signed(field.edgeStripM, 'm', 1)} ${units.name('m')}`;
			return {
				name: letter === undefined ? field.name : `${letter} · ${field.name}`,
				second: map.by === 'crop' ? units.area(field.loadForHa) : strip,
				geometry: field.geometry,
			};
		}),
		units,
	);
}

function lettersOf({ fields, by }: FieldMapPaper): Map<string, string> {
	const classes = by === 'crop' ? classesOf(fields, by) : [];
	if (classes.length <= BY_PATTERN) return new Map();
	return new Map(classes.map(({ key }, index) => [key, letterOf(index)]));
}

function letterOf(index: number): string {
	const last = String.fromCharCode(65 + (index % 26));
	return index < 26 ? last : `${letterOf(Math.floor(index / 26) - 1)}${last}`;
}

/** The fields on paper, to scale: told apart by pattern or letter where there is no colour. */
export function FieldMapSheet({ map, layout }: { readonly map: FieldMapPaper; readonly layout: MapLayout }) {
	const units = useUnits();
	const isMetric = units.units === 'metric';
	const classes = classesOf(map.fields, map.by, units);
	const letters = lettersOf(map);
	const looks = new Map(classes.map(({ key, shade }) => [key, shade]));
	const kinds = (['strip', 'obstacle'] as const).filter((kind) =>
		map.fields.some(({ leftOut }) => leftOut.some((ground) => ground.kind === kind)),
	);
	const patterned = [...classes.map(({ shade }) => shade), ...kinds.map((kind) => leftOutLooks[kind].look)];
	const idOf = (look: Look) => `p${patterned.indexOf(look)}`;
	return (
		<article className="map-sheet">
			<header>
				<h1>{map.by === 'crop' ? `Fields by crop, harvest ${map.season}` : 'Fields by difference of their areas'}</h1>
				<p>
					{map.farm !== '' && <strong>{map.farm}</strong>} printed {longDate(map.madeAt)} {timeOfDay(map.madeAt)}
				</p>
			</header>
			<svg
				strokeWidth={layout.numbered.length > MOST_NUMBERED ? 0.15 : 0.35}
				style={{ width: `${layout.width}mm`, height: `${layout.height}mm` }}
				viewBox={`0 0 ${layout.width} ${layout.height}`}
				role="img"
				aria-label="Map of the fields"
			>
				{patterned.map((look) => (
					<LookPattern key={idOf(look)} look={look} id={idOf(look)} scale={PATTERN_MM} />
				))}
				{map.fields.map((field, index) => (
					<Ground
						key={field.id}
						path={layout.outlines[index] ?? ''}
						look={looks.get(classKey(field, map.by)) ?? lookOf('plain')}
						idOf={idOf}
					/>
				))}
				{map.fields.flatMap(({ leftOut }) =>
					leftOut.map(({ kind, geometry }) => {
						const path = layout.outlineOf(geometry);
						return <Ground key={path} path={path} look={leftOutLooks[kind].look} idOf={idOf} />;
					}),
				)}
				{layout.names.map((name, index) => name && <Name key={map.fields[index]?.id} name={name} />)}
				<Scale layout={layout} />
			</svg>
			<ul className="map-legend">
				{classes.map(({ key, shade, text }, index) => (
					<li key={key}>
						<LookSample look={shade} id={`c${index}`} />
						{letters.has(key) && <strong>{letters.get(key)}</strong>} {text}
					</li>
				))}
				{kinds.map((kind) => (
					<li key={kind}>
						<LookSample look={leftOutLooks[kind].look} id={kind} />
						{leftOutLooks[kind].text}
					</li>
				))}
			</ul>
			<Numbers map={map} layout={layout} />
			<p className="note">
				{map.by === 'crop'
					? `${isMetric ? 'Hectares' : 'Acres'} are the area to load for.`
					: `${isMetric ? 'Metres' : 'Feet'} are the difference of measured and mapped area as a strip all round.`}{' '}
				To scale where printed at full size.
			</p>
		</article>
	);
}

function Ground(props: { readonly path: string; readonly look: Look; readonly idOf: (look: Look) => string }) {
	const { look, path } = props;
	const token = `var(--${tokenOf(look.colour)})`;
	return (
		<path
			d={path}
			fillRule="evenodd"
			fill={look.pattern ? `url(#${props.idOf(look)})` : token}
			fillOpacity={look.pattern ? 1 : look.fill}
			stroke={token}
			strokeDasharray={look.dash
				?.split(' ')
				.map((px) => Number(px) * PATTERN_MM)
				.join(' ')}
			strokeLinejoin="round"
		/>
	);
}

function Name({ name: { x, y, size, lines } }: { readonly name: Lettering }) {
	return (
		<text x={x} textAnchor="middle" fontSize={size} className="name">
			{lines.map((line, index) => (
				<tspan key={line} x={x} y={y + size * (0.35 + (index - (lines.length - 1) / 2) * 1.12)}>
					{line}
				</tspan>
			))}
		</text>
	);
}

function Scale({ layout: { height, width, bar, scale } }: { readonly layout: MapLayout }) {
	const y = height - 1.5;
	return (
		<>
			<path d={`M0 ${y - 1.6}V${y}H${bar.mm}V${y - 1.6}`} fill="none" stroke="var(--ink)" strokeWidth="0.4" />
			<text x="1" y={y - 1.3} fontSize="2.8" className="name">
				{bar.length} · 1 : {figure(scale)}
			</text>
			<g transform={`translate(${width - 6} 0)`}>
				<path d="M2.5 0L4.3 6L2.5 4.9L0.7 6Z" fill="var(--ink)" />
				<text x="2.5" y="9.4" fontSize="3" fontWeight="700" textAnchor="middle">
					N
				</text>
			</g>
		</>
	);
}

function Numbers({ map, layout: { numbered } }: { readonly map: FieldMapPaper; readonly layout: MapLayout }) {
	const units = useUnits();
	if (numbered.length === 0) return null;
	if (numbered.length > MOST_NUMBERED) {
		return <p className="note">{figure(numbered.length)} fields are too small here for their names.</p>;
	}
	return (
		<ol className="numbers">
			{numbered.map((index, at) => (
				<li key={map.fields[index]?.id}>
					<strong>{at + 1}</strong> {map.fields[index]?.name} {units.area(map.fields[index]?.loadForHa ?? null)}
				</li>
			))}
		</ol>
	);
}
