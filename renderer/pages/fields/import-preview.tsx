import { useMemo, useState } from 'react';
import type { ImportReport } from '../../../shared/contract/fields-import.ts';
import { count, signed } from '../../format.ts';
import { asGeometry } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import type { Look } from '../../map/looks.tsx';
import type { MapField } from '../../map/map-field.ts';
import { MapLegend } from '../../map/map-legend.tsx';
import { Facts } from '../../parts/page.tsx';
import { WarningList } from '../../parts/problem-notice.tsx';
import { type Column, Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { type FileAnswers, placeText } from './import-choices.ts';
import { ImportColumns } from './import-columns.tsx';
import { LettersQuestion } from './import-letters.tsx';
import { areasOf, ExchangeOfAxes, FarNamesakes, LeftAsTheyAre, RefusedRecords, Repairs } from './import-repairs.tsx';

type ImportedField = ImportReport['added'][number];
type Row = { readonly field: ImportedField; readonly known: boolean };

const nowLook: Look = { colour: 'water', fill: 0.3 };
const beforeLook: Look = { colour: 'ink', fill: 0, dash: '6 4' };
const repairLook: Look = { colour: 'brick', fill: 0.12, dash: '2 3' };

/** What a file holds and what would become of it; nothing is written before it is brought in. */
export function ImportPreview(props: {
	readonly report: ImportReport;
	readonly answers: FileAnswers;
	readonly waiting: boolean;
	readonly onSay: (asks: keyof FileAnswers, value: string | null) => void;
	readonly onAnswers: (answers: FileAnswers) => void;
}) {
	const units = useUnits();
	const { report } = props;
	const [pointed, setPointed] = useState<string | null>(null);
	const fields = useMemo(() => shapesOf(report, units), [report, units]);
	const open = report.repairs.some(({ chosen, geometry }) => !chosen && geometry);
	return (
		<div className="import-preview" aria-busy={props.waiting}>
			<div className="stack">
				<p className="say">{summary(report)}</p>
				<ExchangeOfAxes {...props} />
				<LettersQuestion report={report} onSay={props.onSay} />
				<ImportColumns report={report} onSay={props.onSay} />
				<Repairs {...props} onPoint={setPointed} />
				<FarNamesakes {...props} />
				<WarningList warnings={warningsOf(report)} />
				<RefusedRecords report={report} />
				<LeftAsTheyAre report={report} />
				<FieldsOfFile report={report} pointed={pointed} onPoint={setPointed} />
			</div>
			<div className="stack">
				<FieldMap
					label="Map of the fields in the file"
					height={380}
					fields={fields}
					pointed={pointed}
					onPoint={setPointed}
				/>
				<MapLegend
					entries={[
						...(report.added.length > 0 ? [{ shade: 'new' as const, text: 'new in the register' }] : []),
						...(report.updated.length > 0 ? [{ shade: nowLook, text: 'known: as in the file' }] : []),
						...(report.updated.some(({ geometryBefore }) => geometryBefore)
							? [{ shade: beforeLook, text: 'known: until now' }]
							: []),
						...(open ? [{ shade: repairLook, text: 'as it would be with its repair' }] : []),
					]}
				/>
				<Facts
					items={[
						['Layer', report.file.layer],
						['Reference system', report.file.crs],
						report.file.centre && ['Centre', placeText(...report.file.centre)],
						report.file.encoding !== null && ['Letters', report.file.encoding],
						['Together', units.area(report.file.totalHa)],
						report.file.gridScalePpm !== null && [
							'Map grid',
							`${signed(report.file.gridScalePpm / 10_000, 3)} % against the ground`,
						],
					]}
				/>
			</div>
		</div>
	);
}

function FieldsOfFile(props: {
	readonly report: ImportReport;
	readonly pointed: string | null;
	readonly onPoint: (id: string | null) => void;
}) {
	const units = useUnits();
	const rows: Row[] = [
		...props.report.added.map((field) => ({ field, known: false })),
		...props.report.updated.map((field) => ({ field, known: true })),
	];
	if (rows.length === 0) return null;
	return (
		<Table
			caption="Fields in the file"
			rows={rows}
			rowKey={({ field }) => shapeId(field)}
			selected={props.pointed}
			onPoint={(row) => props.onPoint(row ? shapeId(row.field) : null)}
			height="340px"
			columns={columnsFor(rows, units)}
		/>
	);
}

/** Only what the file gives: codes and crops where it has some, the measurement until now where a field is known. */
function columnsFor(rows: readonly Row[], { hectares, name, signed }: Units): Column<Row>[] {
	const compared = rows.some(({ known }) => known);
	const area = (key: string, head: string, of: (field: ImportedField) => number | null | undefined) => ({
		key,
		head,
		number: true,
		sort: ({ field }: Row) => of(field) ?? null,
		cell: ({ field }: Row) => hectares(of(field) ?? null),
	});
	return [
		{
			key: 'name',
			head: 'Field',
			sort: ({ field }) => field.name,
			cell: ({ field }) => (
				<>
					{field.name}
					{field.nameBefore !== undefined && <span className="second">until now {field.nameBefore}</span>}
					{compared && field.crop && <span className="second">{grown(field)}</span>}
				</>
			),
		},
		...(rows.some(({ field }) => field.code !== null)
			? [
					{
						key: 'code',
						head: 'Code',
						sort: ({ field }: Row) => field.code,
						cell: ({ field }: Row) => field.code ?? '–',
					},
				]
			: []),
		...(!compared && rows.some(({ field }) => field.crop !== undefined)
			? [
					{
						key: 'crop',
						head: 'Crop',
						sort: ({ field }: Row) => field.crop ?? null,
						cell: ({ field }: Row) => grown(field),
					},
				]
			: []),
		area('mapped', `mapped ${name('ha')}`, ({ mappedHa }) => mappedHa),
		area('measured', `measured ${name('ha')}`, ({ measuredHa }) => measuredHa),
		...(compared
			? [
					area('before', 'until now', ({ measuredBeforeHa }) => measuredBeforeHa),
					{
						key: 'change',
						head: 'change',
						number: true,
						sort: ({ field }: Row) => changeOf(field),
						cell: ({ field }: Row) => {
							const change = changeOf(field);
							if (field.sameBoundary) return <span className="quiet">none</span>;
							return change === null ? '–' : signed(change, 'ha', 4);
						},
					},
				]
			: []),
		{
			key: 'state',
			head: 'In the register',
			sort: ({ known }) => (known ? 1 : 0),
			cell: ({ field, known }) =>
				known ? (
					<span className="chip plain">{field.matchedBy ? `known by ${field.matchedBy}` : 'known'}</span>
				) : (
					<span className="quiet">new</span>
				),
		},
	];
}

function changeOf({ measuredHa, measuredBeforeHa }: ImportedField): number | null {
	return measuredBeforeHa === undefined ? null : measuredHa - measuredBeforeHa;
}

/** `Wheat (TRZAX), Alba` */
function grown({ crop, eppoCode, variety }: ImportedField): string {
	const coded = eppoCode === undefined || eppoCode === crop ? crop : `${crop} (${eppoCode})`;
	return [coded ?? '–', variety].filter((word) => word !== undefined).join(', ');
}

/** What is asked above is not told again: the letters of the file, and boundaries a repair is offered for. */
function warningsOf({ warnings, file, repairs }: ImportReport): ImportReport['warnings'] {
	const offered = new Set(repairs.map(({ record }) => String(record)));
	return warnings.filter(({ code, record }) => {
		if (code.startsWith('encoding.')) return file.letters.length === 0;
		return !(code === 'boundary.repeated point' && record !== undefined && offered.has(record));
	});
}

function summary(report: ImportReport): string {
	const parts = [
		report.added.length > 0 ? `${count(report.added.length, 'new field')}` : '',
		report.updated.length > 0 ? `${count(report.updated.length, 'field')} known already${asBefore(report)}` : '',
		report.refused.length > 0 ? `${count(report.refused.length, 'record')} left out` : '',
	].filter((part) => part !== '');
	return parts.length === 0 ? 'The file holds no fields.' : `${parts.join(', ')}.`;
}

/** Of the known fields, those whose boundary is the one in force. */
function asBefore({ updated }: ImportReport): string {
	const same = updated.filter(({ sameBoundary }) => sameBoundary).length;
	if (same === 0) return '';
	return same === updated.length ? ' with the same boundaries' : `, ${same} of them with the same boundary`;
}

function shapeId(field: ImportedField): string {
	return `${field.record}`;
}

/** Later shapes lie above earlier ones: outlines until now and repairs over the fields. */
function shapesOf({ added, updated, repairs }: ImportReport, { area, say }: Units): MapField[] {
	const shapes: MapField[] = [];
	const draw = (shape: Omit<MapField, 'geometry'>, geometry: ImportedField['geometry']) => {
		if (geometry) shapes.push({ ...shape, geometry: asGeometry(geometry) });
	};
	for (const field of added) {
		const says = area(field.measuredHa);
		draw({ id: shapeId(field), name: field.name, says, shade: 'new' }, field.geometry);
	}
	for (const field of updated) {
		const before = field.measuredBeforeHa;
		const says = `${area(field.measuredHa)}${before === undefined ? '' : `, until now ${area(before)}`}`;
		draw({ id: shapeId(field), name: field.name, says, shade: nowLook }, field.geometry);
		draw({ id: `${field.record} before`, name: field.name, says, shade: beforeLook }, field.geometryBefore);
	}
	for (const repair of repairs) {
		if (repair.chosen) continue;
		const { record, name, did } = repair;
		const says = say(`${did}: ${areasOf(repair)}`);
		draw({ id: `${record} ${repair.repair}`, name, says, shade: repairLook }, repair.geometry);
	}
	return shapes;
}
