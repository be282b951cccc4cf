import { lazy, Suspense, useMemo, useState } from 'react';
import { Link } from 'wouter';
import type { Statement } from '../../../shared/contract/season.ts';
import { amount, count, figure, hectares, signed } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page } from '../../parts/page.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { dose } from '../records/treatments.ts';
import { SeasonBefore, usePeriod } from './period.tsx';
import { ProductYears } from './product-years.tsx';
import { SeasonHead } from './season-head.tsx';
import { type StockMark, stockCourse } from './stock-course.ts';
import { StockMarkShape } from './stock-mark.tsx';

const StockChart = lazy(() => import('./stock-chart.tsx').then((module) => ({ default: module.StockChart })));

/** In the units of the farm; `kept` is what the product is kept in. */
type ProductLine = Omit<Statement['products'][number], 'unit'> & {
	readonly unit: string;
	readonly kept: 'L' | 'kg';
	readonly dosePerHa: number;
};
type FieldLine = Statement['fields'][number];
type Shown = Omit<Statement, 'products'> & { readonly products: readonly ProductLine[] };

/** The statement in the units of the farm: its keys stay, its heads name them. */
function shownIn(statement: Statement, { value, name }: Units): Shown {
	const ha = (area: number) => value(area, 'ha');
	const known = (area: number | null) => (area === null ? null : ha(area));
	return {
		...statement,
		products: statement.products.map((line): ProductLine => {
			const of = (amount: number) => value(amount, line.unit);
			return {
				...line,
				...{ unit: name(line.unit), kept: line.unit, dosePerHa: line.onGround / line.treatedHa },
				...{ opening: of(line.opening), delivered: of(line.delivered), used: of(line.used) },
				...{ otherOut: of(line.otherOut), counted: of(line.counted), closing: of(line.closing) },
				...{ onGround: of(line.onGround), treatedHa: ha(line.treatedHa), basicHa: ha(line.basicHa) },
			};
		}),
		actives: statement.actives.map((active) => ({
			...active,
			kg: value(active.kg, 'kg'),
			treatedHa: ha(active.treatedHa),
		})),
		fields: statement.fields.map((field) => ({
			...field,
			...{ mappedHa: known(field.mappedHa), measuredHa: known(field.measuredHa), loadForHa: known(field.loadForHa) },
			treatedHa: ha(field.treatedHa),
		})),
	};
}

/** The season in figures: store, ground, fields, active substances; the stock of one product as a line. */
export function StatementPage() {
	const period = usePeriod();
	const { dates } = period;
	const [chosen, setChosen] = useState<string | null>(null);
	const asked = useProcedure(
		['season', 'statement', dates?.from, dates?.to],
		(api, signal) => api.season.statement({ from: dates?.from ?? '', to: dates?.to ?? '' }, { signal }),
		{ enabled: dates !== null, keepPrevious: true },
	);
	const units = useUnits();
	const statement = useMemo(() => asked.answer && shownIn(asked.answer, units), [asked.answer, units]);
	const moved = useMemo(() => (statement?.products ?? []).filter(isMoved), [statement]);
	const shown = moved.find(({ productId }) => productId === chosen) ?? mostUsed(moved);
	return (
		<Page title={`Statement, ${period.words}`} columns={shown ? 'two' : 'one'}>
			<section>
				<SeasonHead at="/season/statement" period={period} />
				{dates && (
					<Answered asked={asked}>
						{() =>
							!statement ? null : moved.length === 0 ? (
								<Empty title={`Nothing moved ${period.during}.`} next={<SeasonBefore period={period} />} />
							) : (
								<Tables statement={statement} moved={moved} shown={shown} onChoose={setChosen} />
							)
						}
					</Answered>
				)}
			</section>
			{shown && dates && (
				<section aria-label="One product in the store">
					<div className="product-side">
						<OneProduct line={shown} from={dates.from} to={dates.to} />
						{period.season !== null && (
							<ProductYears
								productId={shown.productId}
								name={shown.name}
								unit={shown.kept}
								season={period.season}
								startMonth={period.startMonth}
							/>
						)}
					</div>
				</section>
			)}
		</Page>
	);
}

function Tables(props: {
	readonly statement: Shown;
	readonly moved: readonly ProductLine[];
	readonly shown: ProductLine | undefined;
	readonly onChoose: (productId: string) => void;
}) {
	const units = useUnits();
	const { statement, moved } = props;
	const treated = statement.fields.filter(({ treatments }) => treatments > 0);
	return (
		<>
			<Table
				caption="Store"
				showCaption
				rows={moved}
				rowKey={({ productId }) => productId}
				columns={storeColumns}
				selected={props.shown?.productId}
				onOpen={({ productId }) => props.onChoose(productId)}
			/>
			<h2>Ground</h2>
			<Table
				caption="Ground by product"
				rows={moved.filter(({ treatedHa }) => treatedHa > 0)}
				rowKey={({ productId }) => productId}
				columns={groundColumns(units)}
			/>
			<p className="quiet small">
				As the records have it, without what stayed in sump and lines. <Link href="/season">Ground, tank, store</Link>{' '}
				reckons the ground by itself, from the dose and the machine’s counter.
			</p>
			{statement.actives.length > 0 && <Actives actives={statement.actives} />}
			<h2>Fields</h2>
			<Table
				caption="Fields treated"
				rows={treated}
				rowKey={({ fieldId }) => fieldId}
				columns={fieldColumns(treated, units)}
				sortedBy="name"
				height={treated.length > 200 ? '640px' : undefined}
			/>
			<p className="quiet small above">
				{count(statement.loadsLogged, 'load')} logged.{' '}
				{statement.recordsIncomplete === 0 ? (
					'Every record holds what the chosen rule set asks for.'
				) : (
					<Link href="/records">
						{count(statement.recordsIncomplete, 'record still lacks', 'records still lack')} something.
					</Link>
				)}
				{treated.length < statement.fields.length &&
					` ${count(statement.fields.length - treated.length, 'field')} had no treatment.`}
			</p>
		</>
	);
}

const storeColumns: readonly Column<ProductLine>[] = [
	{ key: 'name', head: 'Product', sort: ({ name }) => name, cell: ({ name }) => name },
	{ key: 'opening', head: 'at start', number: true, cell: ({ opening }) => plain(opening) },
	{ key: 'delivered', head: 'delivered', number: true, cell: ({ delivered }) => plain(delivered) },
	{ key: 'used', head: 'into loads', number: true, sort: ({ used }) => used, cell: ({ used }) => plain(used) },
	{ key: 'other', head: 'else out', number: true, cell: ({ otherOut }) => plain(otherOut) },
	{
		key: 'counted',
		head: 'by counts',
		number: true,
		cell: ({ counted }) => (counted === 0 ? '–' : signed(counted, 2)),
	},
	{
		key: 'closing',
		head: 'at end',
		number: true,
		sort: ({ closing }) => closing,
		cell: ({ closing, unit }) => <b>{`${figure(closing, 2)} ${unit}`}</b>,
	},
];

const groundColumns = ({ units, name, say }: Units): readonly Column<ProductLine>[] => [
	{ key: 'name', head: 'Product', sort: ({ name }) => name, cell: ({ name }) => name },
	{
		key: 'onGround',
		head: 'on the ground',
		number: true,
		cell: ({ onGround, unit }) => `${figure(onGround, 2)} ${unit}`,
	},
	{
		key: 'treated',
		head: `${name('ha')}, each pass`,
		number: true,
		sort: ({ treatedHa }) => treatedHa,
		cell: ({ treatedHa }) => hectares(treatedHa),
	},
	{
		key: 'basic',
		head: `${name('ha')}, each once`,
		number: true,
		sort: ({ basicHa }) => basicHa,
		cell: ({ basicHa }) => hectares(basicHa),
	},
	{
		key: 'average',
		head: `per ${name('ha')} and pass`,
		number: true,
		cell: ({ dosePerHa, kept }) =>
			units === 'metric' ? `${dose(dosePerHa)} ${kept}` : say(`${dose(dosePerHa)} ${kept}/ha`).replace(/\/ac$/, ''),
	},
];

function fieldColumns(rows: readonly FieldLine[], { name: nameOf }: Units): Column<FieldLine>[] {
	return [
		{ key: 'name', head: 'Field', sort: ({ name }) => name, cell: ({ name }) => name, foot: 'Together' },
		{ key: 'crop', head: 'Crop', sort: ({ crop }) => crop, cell: ({ crop }) => crop ?? '–' },
		{
			key: 'mapped',
			head: 'mapped',
			number: true,
			sort: ({ mappedHa }) => mappedHa,
			cell: ({ mappedHa }) => <span className="quiet">{hectares(mappedHa)}</span>,
			foot: hectares(totalKnown(rows, ({ mappedHa }) => mappedHa)),
		},
		{
			key: 'measured',
			head: 'measured',
			number: true,
			sort: ({ measuredHa }) => measuredHa,
			cell: ({ measuredHa }) => hectares(measuredHa),
			foot: hectares(totalKnown(rows, ({ measuredHa }) => measuredHa)),
		},
		{
			key: 'load',
			head: 'loaded for',
			number: true,
			sort: ({ loadForHa }) => loadForHa,
			cell: ({ loadForHa }) => hectares(loadForHa),
			foot: hectares(totalKnown(rows, ({ loadForHa }) => loadForHa)),
		},
		{
			key: 'passes',
			head: 'passes',
			number: true,
			sort: ({ treatments }) => treatments,
			cell: ({ treatments }) => figure(treatments),
		},
		{
			key: 'treated',
			head: `${nameOf('ha')} treated`,
			number: true,
			sort: ({ treatedHa }) => treatedHa,
			cell: ({ treatedHa }) => <b>{hectares(treatedHa)}</b>,
			foot: hectares(total(rows, ({ treatedHa }) => treatedHa)),
		},
	];
}

const legend: readonly (readonly [StockMark, string])[] = [
	['delivery', 'came in'],
	['load', 'went into a load'],
	['count', 'set right by a count'],
	['other', 'other'],
];

function OneProduct({ line, from, to }: { readonly line: ProductLine; readonly from: string; readonly to: string }) {
	const { value, name: nameOf } = useUnits();
	const { productId, name, unit, kept, opening } = line;
	const movements = useProcedure(['store', 'movements', productId, from, to, 'all'], (api) =>
		api.store.movements({ productId, from, to, limit: 100_000 }),
	);
	const start = Date.parse(`${from}T00:00:00Z`);
	const end = Date.parse(`${to}T23:59:59Z`);
	const points = stockCourse(
		(movements.answer ?? []).map((row) => ({
			...row,
			amount: value(row.amount, kept),
			balance: value(row.balance, kept),
		})),
		opening,
		{ from: start, to: end, now: Date.now() },
	);
	const least = Math.min(...points.map(({ balance }) => balance));
	const marks = new Set(points.map(({ mark }) => mark));
	return (
		<section aria-label={`${name} in the store`}>
			<h2>{name} in the store</h2>
			<Answered asked={movements}>
				{(rows) => (
					<figure style={{ margin: 0 }}>
						<div
							className="stock-chart"
							role="img"
							aria-label={`Stock of ${name}: ${amount(opening, unit)} at the start, ${count(rows.length, 'movement')}, ${amount(line.closing, unit)} at the end, at least ${amount(least, unit)}.`}
						>
							<Suspense fallback={null}>
								<StockChart points={points} unit={unit} from={start} to={end} />
							</Suspense>
						</div>
						<ul className="legend">
							{legend
								.filter(([mark]) => marks.has(mark))
								.map(([mark, words]) => (
									<li key={mark}>
										<svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
											<StockMarkShape mark={mark} x={7} y={mark === 'delivery' ? 8 : 7} />
										</svg>
										{words}
									</li>
								))}
						</ul>
					</figure>
				)}
			</Answered>
			<Facts
				items={[
					['Least in the store', amount(Number(least.toFixed(2)), unit)],
					line.treatedHa > 0 && [
						'Ground covered',
						`${hectares(line.treatedHa)} ${nameOf('ha')} in passes, ${hectares(line.basicHa)} once`,
					],
				]}
			/>
			{least < 0 && (
				<p>
					<span className="chip">below nothing</span> More was poured than the book held: a delivery is missing, or a
					count.
				</p>
			)}
		</section>
	);
}

function Actives({ actives }: { readonly actives: Statement['actives'] }) {
	const { name } = useUnits();
	return (
		<section aria-label="Active substances">
			<h2 className="next">Active substances</h2>
			<Table
				caption="Active substances"
				rows={actives}
				rowKey={({ substance }) => substance}
				columns={[
					{
						key: 'substance',
						head: 'Substance',
						sort: ({ substance }) => substance,
						cell: ({ substance }) => substance,
					},
					{
						key: 'kg',
						head: name('kg'),
						number: true,
						sort: ({ kg }) => kg,
						cell: ({ kg }) => figure(kg, kg < 10 ? 2 : 1),
					},
					{
						key: 'ha',
						head: `${name('ha')}, each pass`,
						number: true,
						sort: ({ treatedHa }) => treatedHa,
						cell: ({ treatedHa }) => (treatedHa > 0 ? hectares(treatedHa) : '–'),
					},
				]}
			/>
		</section>
	);
}

function isMoved(line: ProductLine): boolean {
	const { opening, delivered, used, otherOut, counted, closing, onGround } = line;
	return [opening, delivered, used, otherOut, counted, closing, onGround].some((value) => value !== 0);
}

function mostUsed(lines: readonly ProductLine[]): ProductLine | undefined {
	return [...lines].sort((a, b) => b.treatedHa - a.treatedHa)[0];
}

function plain(value: number): string {
	return value === 0 ? '–' : figure(value, 2);
}

/** Null where no row has a figure: nothing known is not none. */
function totalKnown<Row>(rows: readonly Row[], of: (row: Row) => number | null): number | null {
	return rows.some((row) => of(row) !== null) ? total(rows, of) : null;
}

function total<Row>(rows: readonly Row[], of: (row: Row) => number | null): number {
	return rows.reduce((sum, row) => sum + (of(row) ?? 0), 0);
}
