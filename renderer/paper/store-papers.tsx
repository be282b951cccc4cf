import type { CountSheet, EmergencyList, EmergencyPage } from '../../shared/contract/store-papers.ts';
import { hazardSays } from '../../shared/core/products/hazard-codes.ts';
import { signsOf } from '../../shared/core/products/hazard-signs.ts';
import { count, formulationAfter, longDate, timeOfDay } from '../format.ts';
import { HazardSigns } from '../pictures/hazard-sign.tsx';
import { StorePlanPicture } from '../pictures/store-plan.tsx';
import { type Units, useUnits } from '../units.ts';

/** A line of a count sheet for each product; room to write for each size, for opened ones, and for the place. */
export function CountSheetPage({ sheet }: { readonly sheet: CountSheet }) {
	const units = useUnits();
	const most = Math.max(1, ...sheet.lines.map(({ sizes }) => sizes.length));
	const columns = Array.from({ length: most }, (_, index) => index);
	return (
		<article className="store-paper count-sheet">
			<header>
				<h1>Count sheet{sheet.store && `: ${sheet.store}`}</h1>
				<p>
					<strong>{sheet.farm}</strong> {sheet.withBook ? 'with the figures of the book' : 'blind'}, printed{' '}
					{longDate(sheet.madeAt)} {timeOfDay(sheet.madeAt)}
				</p>
			</header>
			<p className="write">
				Counted as it stood on{' '}
				{sheet.freezeAt ? (
					<strong>
						{longDate(sheet.freezeAt)} at {timeOfDay(sheet.freezeAt)}
					</strong>
				) : (
					<span className="blank wide" />
				)}{' '}
				by <span className="blank wide" />
			</p>
			<table>
				<thead>
					<tr>
						<th>Place</th>
						<th>Product</th>
						{sheet.withBook && <th className="number">by the book</th>}
						<th colSpan={most}>Full containers</th>
						<th className="opened">Opened ones: left, or full and empty weight</th>
					</tr>
				</thead>
				<tbody>
					{sheet.lines.map((line) => (
						<tr key={`${line.name} ${line.formulation}`}>
							<td>{line.place}</td>
							<td>
								{line.name} <span className="quiet">{formulationAfter(line.name, line.formulation)}</span>
							</td>
							{sheet.withBook && <td className="number">{units.amount(line.book, line.unit)}</td>}
							{columns.map((index) => (
								<td key={index} className="box">
									{line.sizes[index] !== undefined && (
										<>
											<span className="blank" /> × {units.say(`${line.sizes[index]} ${line.unit}`)}
										</>
									)}
								</td>
							))}
							<td className="opened" />
						</tr>
					))}
				</tbody>
			</table>
			<p className="note">
				An empty shelf is a count too: write 0. A level is read to a twentieth of the container at best; a scale is
				better.
			</p>
		</article>
	);
}

/** A page for each store. */
export function EmergencyListPages({ list }: { readonly list: EmergencyList }) {
	return list.stores.map((page) => <StorePage key={page.store} list={list} page={page} />);
}

/** Products, amounts and hazards, and where to ring. It grows smaller with many products so that it stays on one page. */
function StorePage({ list, page }: { readonly list: EmergencyList; readonly page: EmergencyPage }) {
	const units = useUnits();
	const codes = [...new Set(page.lines.flatMap(({ hazards }) => hazards))].sort();
	const places = page.lines.some(({ place }) => place !== '');
	const drawn = page.plan !== null || page.planPicture !== null;
	return (
		<article className="store-paper emergency" style={{ fontSize: sizeFor(page.lines.length, codes.length, drawn) }}>
			<header>
				<h1>What is in the chemical store{page.store && `: ${page.store}`}</h1>
				<p>
					<strong>{list.farm}</strong> by the book on {longDate(list.madeAt)} {timeOfDay(list.madeAt)}
				</p>
			</header>
			<dl>
				<dt>Where</dt>
				<dd>{page.place || <span className="blank wide" />}</dd>
				<dt>Ring</dt>
				<dd className="lines">{page.contacts || <span className="blank wide" />}</dd>
				<dt>In all</dt>
				<dd>
					{count(page.lines.length, 'product')}, about {storedWords(page, units)}
					{page.bundL !== null && `; the bund holds ${units.figure(page.bundL, 'L')} ${units.name('L')}`}
				</dd>
			</dl>
			<table>
				<thead>
					<tr>
						<th>Product</th>
						<th className="number">amount</th>
						<th>Containers</th>
						{places && <th>Place</th>}
						<th>Active substances</th>
						<th>Hazards</th>
						<th>Signs</th>
					</tr>
				</thead>
				<tbody>
					{page.lines.map((line) => (
						<tr key={`${line.name} ${line.formulation}`}>
							<td>
								<strong>{line.name}</strong>{' '}
								<span className="quiet">{formulationAfter(line.name, line.formulation)}</span>
							</td>
							<td className="number">{units.amount(line.amount, line.unit)}</td>
							<td>{units.say(line.containers)}</td>
							{places && <td>{line.place}</td>}
							<td>{line.actives}</td>
							<td>{line.hazards.join(' ') || 'not entered: see the data sheet'}</td>
							<td>
								<HazardSigns signs={signsOf(line.hazards)} size="1.8em" />
							</td>
						</tr>
					))}
				</tbody>
			</table>
			<div className={drawn ? 'below drawn' : 'below'}>
				<p className="codes">
					{codes.map((code) => (
						<span key={code}>
							<strong>{code}</strong> {hazardSays(code) ?? 'see the label'}
						</span>
					))}
				</p>
				{page.plan && <StorePlanPicture plan={page.plan} />}
				{page.planPicture && <img src={page.planPicture} alt="Plan of the store" />}
			</div>
			<p className="note">
				Keep this page away from the store, where those who come can find it. Amounts are those of the book; the labels
				and data sheets come first.
			</p>
		</article>
	);
}

/** `812 L and kg`; a gallon is no pound: `190 gal and 44 lb`. */
function storedWords({ storedL, lines }: EmergencyPage, { units, figure, name }: Units): string {
	if (units === 'metric') return `${figure(storedL, 'L')} L and kg`;
	const told = (['L', 'kg'] as const).flatMap((unit) => {
		const there = lines.filter((line) => line.unit === unit);
		const sum = there.reduce((total, { amount }) => total + amount, 0);
		return there.length === 0 ? [] : [`${figure(sum, unit)} ${name(unit)}`];
	});
	return told.join(' and ');
}

/** Heights in em: head and note, the plan, a line of the table; and what a page of A4 has in points. Measured. */
const [REST_EM, PLAN_EM, LINE_EM, PAGE_PT] = [18, 21, 2.55, 755];
/** Above this size some of a line's words break into a second row. */
const BREAKS_PT = 7.5;
const BROKEN_LINE_EM = 3.15;

/** Type that lets everything stand on one page of A4. */
function sizeFor(lines: number, codes: number, drawn: boolean): string {
	// Three columns of statements, or two beside the plan; a statement takes two lines.
	const below = drawn ? Math.max(PLAN_EM, codes * 1.1) : codes * 0.75;
	const sizeWith = (lineEm: number) => PAGE_PT / (lines * lineEm + below + REST_EM);
	const broken = sizeWith(BROKEN_LINE_EM);
	const size = broken >= BREAKS_PT ? broken : Math.min(BREAKS_PT, sizeWith(LINE_EM));
	return `${Math.max(4.5, Math.min(9.5, size)).toFixed(1)}pt`;
}
