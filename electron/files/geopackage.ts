/** GeoPackages (OGC 12-128r19): a copy in memory is opened read-only, so the file itself is never locked or written. */
import Database from 'better-sqlite3';
import { ok, type Result, refuse } from '../../shared/basics/result.ts';
import type { Attribute, AttributeKind, AttributeValue, FoundLayer, RawLayer, RawRecord, SystemClue } from './layer.ts';
import { importLimits } from './limits.ts';
import { polygonsFromBlob } from './well-known-binary.ts';

type LayerRow = {
	readonly name: string;
	readonly geometryColumn: string;
	readonly geometryType: string;
	readonly organization: string | null;
	readonly code: number | null;
	readonly definition: string | null;
	readonly srsId: number;
};

type ColumnRow = { readonly name: string; readonly type: string; readonly pk: number };

/** "GPKG", "GP10", "GP11" at byte 68 (requirement 2 of the standard and its first editions). */
const APPLICATION_IDS = new Set([0x47504b47, 0x47503130, 0x47503131]);

/** The layers of areas in a GeoPackage. Refuses `file.damaged`, `file.notBoundaries` for other databases, `file.noFields` without areas. */
export function findGeoPackageLayers(file: string, bytes: Buffer): Result<FoundLayer[]> {
	if (bytes.length < 100) return refuse('file.damaged', { file, why: 'it is cut off' });
	const id = bytes.readUInt32BE(68);
	if (!APPLICATION_IDS.has(id))
		return refuse('file.notBoundaries', { file, why: 'it is a database, but not a GeoPackage' });
	const database = openCopy(bytes);
	if (!database) return refuse('file.damaged', { file, why: 'its pages are cut off or contradict each other' });
	const rows = layerRows(database);
	if (!rows) return refuse('file.damaged', { file, why: 'its list of layers is missing' });
	const areas = rows.filter(({ geometryType }) => /POLYGON|SURFACE|GEOMETRY/i.test(geometryType));
	if (areas.length === 0) {
		const kinds = [...new Set(rows.map(({ geometryType }) => geometryType.toLowerCase()))].join(', ');
		return refuse('file.noFields', {
			file,
			why: rows.length === 0 ? 'it has no layer of shapes' : `its layers are of ${kinds}, not of areas`,
		});
	}
	return ok(areas.map((row) => ({ name: row.name, open: () => openLayer(file, database, row) })));
}

function openCopy(bytes: Buffer): Database.Database | null {
	const copy = Buffer.from(bytes);
	// Bytes 18 and 19 say "write-ahead log", which a database in memory cannot have.
	copy[18] = 1;
	copy[19] = 1;
	try {
		const database = new Database(copy, { readonly: true });
		database.pragma('trusted_schema = OFF');
		database.pragma('cell_size_check = ON');
		const check = database.pragma('quick_check(1)', { simple: true });
		return check === 'ok' ? database : null;
	} catch {
		return null;
	}
}

function layerRows(database: Database.Database): LayerRow[] | null {
	try {
		return database
			.prepare<[], LayerRow>(
				`SELECT c.table_name AS name, g.column_name AS geometryColumn, g.geometry_type_name AS geometryType,
				        g.srs_id AS srsId, s.organization, s.organization_coordsys_id AS code, s.definition
				   FROM gpkg_contents c
				   JOIN gpkg_geometry_columns g ON g.table_name = c.table_name
				   LEFT JOIN gpkg_spatial_ref_sys s ON s.srs_id = g.srs_id
				  WHERE c.data_type = 'features'
				  ORDER BY c.table_name`,
			)
			.all();
	} catch {
		return null;
	}
}

function openLayer(file: string, database: Database.Database, row: LayerRow): Result<RawLayer> {
	const table = quoted(row.name);
	try {
		const all = database
			.prepare<[], ColumnRow>(`SELECT name, type, pk FROM pragma_table_info(${literal(row.name)})`)
			.all();
		const columns = all.filter(({ name, pk }) => pk === 0 && name.toLowerCase() !== row.geometryColumn.toLowerCase());
		if (columns.length > importLimits.attributes)
			return refuse('file.tooBig', { file, why: `the layer has ${columns.length} columns` });
		const count = database.prepare<[], number>(`SELECT count(*) FROM ${table}`).pluck().get() ?? 0;
		if (count === 0) return refuse('file.noFields', { file, why: `its layer ${row.name} is empty` });
		if (count > importLimits.records)
			return refuse('file.tooBig', { file, why: `it holds more than ${importLimits.records} boundaries` });
		const wanted = [row.geometryColumn, ...columns.map(({ name }) => name)].map(quoted).join(', ');
		const select = database.prepare<[], unknown[]>(`SELECT ${wanted} FROM ${table}`).raw().safeIntegers();
		return ok({
			name: row.name,
			clue: systemClue(row),
			encoding: 'utf-8',
			attributes: columns.map(({ name, type }): Attribute => ({ name, kind: kindOf(type) })),
			warnings: [],
			records: () => readRecords(select),
		});
	} catch (error) {
		return refuse('file.damaged', {
			file,
			why: `its layer ${row.name} cannot be read (${String(error).slice(0, 100)})`,
		});
	}
}

function* readRecords(select: Database.Statement<[], unknown[]>): Generator<RawRecord> {
	let record = 0;
	for (const [blob, ...cells] of select.iterate()) {
		record++;
		const values = cells.map(valueOfCell);
		const polygons = Buffer.isBuffer(blob) ? polygonsFromBlob(blob) : 'it has no boundary';
		if (typeof polygons === 'string') yield { record, polygons: [], values, refused: polygons };
		else yield { record, polygons, values, refused: null };
	}
}

/** Coordinates are always x, y (east, north), whatever the order of the system's axes (requirement 19 and clause 2.1.3). */
function systemClue({ srsId, organization, code, definition }: LayerRow): SystemClue {
	if (srsId === 0 || srsId === -1) return { kind: 'none', why: 'its layer is marked as undefined' };
	const text = definition && definition !== 'undefined' ? definition : null;
	if (organization?.toUpperCase() === 'EPSG' && code !== null)
		return { kind: 'code', epsg: code, ...(text ? { text } : {}) };
	return text ? { kind: 'text', text } : { kind: 'none', why: 'the description of its system is missing' };
}

function valueOfCell(cell: unknown): AttributeValue {
	if (typeof cell === 'bigint') return Number.isSafeInteger(Number(cell)) ? Number(cell) : String(cell);
	if (typeof cell === 'number') return Number.isFinite(cell) ? cell : null;
	return typeof cell === 'string' && cell !== '' ? cell : null;
}

function kindOf(type: string): AttributeKind {
	if (/INT|REAL|DOUBLE|FLOAT|NUM|DEC/i.test(type)) return 'number';
	return /^DATE/i.test(type) ? 'date' : 'text';
}

function quoted(name: string): string {
	return `"${name.replaceAll('"', '""')}"`;
}

function literal(text: string): string {
	return `'${text.replaceAll("'", "''")}'`;
}
