import type { ImportReport } from '../../shared/contract/fields-import.ts';
import { cropFrom } from '../../shared/core/crops/eppo-crop.ts';
import { WHOLE_SLIVER } from '../../shared/core/geometry/repair-boundary.ts';
import { M2_PER_UNIT, toHectares, toSquareMetres } from '../../shared/units/area.ts';
import type { BoundaryFile, BoundaryRecord } from '../files/boundary-file.ts';
import { type Columns, numberOf, textOf } from './import-columns.ts';
import { boundaryTextOf, type GoodRecord } from './match-register.ts';

export type Warning = ImportReport['warnings'][number];
export type Repair = ImportReport['repairs'][number];
type Chosen = NonNullable<Repair['repair']>;
/** Whether a repair was chosen. */
export type Wanted = (record: number, repair: Chosen) => boolean;

export type Sorted = {
	readonly good: readonly GoodRecord[];
	readonly refused: ImportReport['refused'];
	readonly warnings: readonly Warning[];
	readonly repairs: readonly Repair[];
	readonly left: ImportReport['left'];
};

const LONGEST_NAME = 200;
const LONGEST_CODE = 60;
const LONGEST_CROP = 100;
const LONGEST_EPPO_CODE = 12;
/** More equal names than these are counted, not listed. */
const FEW_NAMES = 3;
const FEW_RECORDS = 12;

/** The records that can come in, with their outlines repaired where that was chosen; the others with the reason. */
export function sortRecords(file: BoundaryFile, columns: Columns, wanted: Wanted): Sorted {
	const good: GoodRecord[] = [];
	const refused: ImportReport['refused'] = [];
	const repairs: Repair[] = [];
	const left: ImportReport['left'] = [];
	const warnings: Warning[] = file.warnings.map(({ code, message, record }) => ({
		code,
		message,
		...(record === undefined ? {} : { record: String(record) }),
	}));
	for (const record of file.records) {
		const name = nameOf(record, columns.name, warnings);
		const repair = outlineRepair(record, name, wanted);
		if (repair) repairs.push(repair);
		const chosen = repair?.chosen ? record.repair : null;
		const boundary = chosen?.geometry ? boundaryTextOf(chosen.geometry) : record.boundary;
		const measured = chosen?.measured ?? record.measured;
		left.push(...leftOf(record, name));
		if (!boundary || !measured) {
			refused.push({ record: record.record, name, reason: record.refused ?? 'it has no boundary' });
			continue;
		}
		if (!chosen) {
			for (const { kind, say } of record.findings) {
				warnings.push({ code: `boundary.${kind}`, message: `${name}: ${say}`, record: String(record.record) });
			}
		}
		const { mappedArea, unit } = columns;
		const figure = mappedArea ? numberOf(record.properties[mappedArea]) : null;
		const mappedHa = figure !== null && figure > 0 && unit ? toHectares(figure * M2_PER_UNIT[unit]) : null;
		if (mappedArea && mappedHa === null) {
			const message = `${name}: the mapped area in ${mappedArea} is ${figure ?? 'missing'}; the field comes in without one`;
			warnings.push({ code: 'area.mappedMissing', message, record: String(record.record) });
		}
		good.push({
			record: record.record,
			name,
			named: columns.name !== null && textOf(record.properties[columns.name]) !== null,
			code: cell(record, columns.code, LONGEST_CODE),
			boundary,
			measured,
			mappedHa,
			...cropFrom(cell(record, columns.crop, LONGEST_CROP), cell(record, columns.cropCode, LONGEST_EPPO_CODE)),
			variety: cell(record, columns.variety, LONGEST_CROP),
			isSliver: !chosen && measured.areaHa > 0 && record.repair?.left.includes(WHOLE_SLIVER) === true,
			repaired: chosen ? [repair?.did ?? ''] : [],
			unrepairedM2: chosen ? (repair?.beforeM2 ?? null) : null,
		});
	}
	warnings.push(...equalNames(good));
	return { good, refused, warnings, repairs, left };
}

function outlineRepair({ record, repair, measured }: BoundaryRecord, name: string, wanted: Wanted): Repair | null {
	if (!repair?.measured) return null;
	return {
		record,
		name,
		repair: 'outline',
		did: repair.did.join(', '),
		chosen: wanted(record, 'outline'),
		beforeM2: measured ? toSquareMetres(measured.areaHa) : null,
		afterM2: toSquareMetres(repair.measured.areaHa),
		...(repair.geometry ? { geometry: repair.geometry } : {}),
	};
}

/** What is not offered, and why: nothing is known of what was meant. */
function leftOf({ record, repair, refused }: BoundaryRecord, name: string): ImportReport['left'] {
	const told = repair?.left.filter((why) => why !== WHOLE_SLIVER || refused !== undefined);
	if (told) return told.map((why) => ({ record, name, why }));
	return refused === undefined ? [] : [{ record, name, why: 'the file does not say where its ground lies' }];
}

function cell(record: BoundaryRecord, attribute: string | null, longest: number): string | null {
	return (attribute ? textOf(record.properties[attribute]) : null)?.slice(0, longest) ?? null;
}

function nameOf(record: BoundaryRecord, attribute: string | null, warnings: Warning[]): string {
	const text = attribute ? textOf(record.properties[attribute]) : null;
	if (!text) return `Field ${record.record}`;
	if (text.length <= LONGEST_NAME) return text;
	const message = `The name of record ${record.record} has ${text.length} characters; the first ${LONGEST_NAME} are kept`;
	warnings.push({ code: 'name.shortened', message, record: String(record.record) });
	return text.slice(0, LONGEST_NAME);
}

function equalNames(good: readonly GoodRecord[]): Warning[] {
	const groups = Map.groupBy(good, ({ name }) => name.trim().toLowerCase());
	const repeated = [...groups.values()]
		.filter((rows) => rows.length > 1)
		.toSorted((one, other) => other.length - one.length);
	const [most] = repeated;
	if (!most) return [];
	if (repeated.length <= FEW_NAMES) {
		return repeated.map((rows) => ({
			code: 'name.repeated',
			message: `${rows.length} records are named “${rows[0]?.name}”${numbersOf(rows)}; they stay separate fields`,
		}));
	}
	const records = repeated.reduce((sum, rows) => sum + rows.length, 0);
	const message = `${records} records share ${repeated.length} names, “${most[0]?.name}” alone has ${most.length}; they stay separate fields`;
	return [{ code: 'name.repeated', message }];
}

function numbersOf(rows: readonly GoodRecord[]): string {
	return rows.length > FEW_RECORDS ? '' : ` (records ${rows.map(({ record }) => record).join(', ')})`;
}
