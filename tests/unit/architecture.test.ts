import { globSync, readFileSync } from 'node:fs';
import { join, normalize, posix } from 'node:path';
import { expect, test } from 'vitest';

/** The table of DEVELOPERS.md, as one test: which folder may import what. A package on no list is an error. */

const root = join(import.meta.dirname, '../..');
const sources = globSync(['shared/**/*.ts', 'db/**/*.ts', 'electron/**/*.ts', 'renderer/**/*.{ts,tsx}'], { cwd: root })
	.map((file) => file.replaceAll('\\', '/'))
	.filter((file) => !file.endsWith('.d.ts') && !file.endsWith('vite.config.ts'));

type Rule = {
	readonly folder: string;
	readonly folders: readonly string[];
	readonly packages: readonly (string | RegExp)[];
};

/** The first rule whose folder holds a file is its rule. */
const rules: readonly Rule[] = [
	{ folder: 'shared/units/', folders: ['shared/units/', 'shared/basics/'], packages: [] },
	{ folder: 'shared/basics/', folders: ['shared/units/', 'shared/basics/'], packages: [] },
	{
		folder: 'shared/core/',
		folders: ['shared/units/', 'shared/basics/', 'shared/core/'],
		packages: ['@turf/area', 'clipper2-ts'],
	},
	{
		folder: 'shared/contract/',
		folders: ['shared/'],
		packages: ['zod', '@orpc/contract'],
	},
	{
		folder: 'db/',
		folders: ['shared/units/', 'shared/basics/', 'shared/core/', 'db/'],
		packages: [/^node:/, 'better-sqlite3', /^drizzle-orm/],
	},
	{
		folder: 'electron/main/',
		folders: ['shared/', 'db/', 'electron/'],
		packages: [/^node:/, /^@orpc\//, 'electron', 'zod', 'vite'],
	},
	{ folder: 'electron/preload/', folders: ['shared/', 'electron/main/'], packages: ['electron'] },
	{
		folder: 'electron/',
		folders: ['shared/', 'db/', 'electron/'],
		packages: [
			/^node:/,
			/^@orpc\//,
			'zod',
			'better-sqlite3',
			'proj4',
			'shpjs',
			'saxes',
			'yauzl',
			'fflate',
			'papaparse',
			/^write-excel-file/,
			'vite',
			'playwright',
			'geojson',
		],
	},
	{
		folder: 'renderer/',
		folders: ['shared/', 'renderer/'],
		packages: [
			/^react/,
			/^@mantine\//,
			/^@orpc\//,
			/^@tanstack\//,
			'wouter',
			/^wouter\//,
			/^leaflet/,
			'recharts',
			'get-nonce',
			'fflate',
			/^@fontsource/,
			'geojson',
			'zod',
		],
	},
];

/** `onlyTypes`: nothing of it is left when the program runs. */
type Import = { readonly file: string; readonly from: string; readonly onlyTypes: boolean };

const imports: readonly Import[] = sources.flatMap((file) => {
	const text = readFileSync(join(root, file), 'utf8');
	const found = text.matchAll(
		/(?:^|\n)\s*(?:import|export)\s([^'"]*?)from\s*'([^']+)'|import\('([^']+)'\)|(?:^|\n)import '([^']+)'/g,
	);
	return [...found].map(([, names = '', ...from]) => ({
		file,
		from: from.find((name) => name !== undefined) ?? '',
		onlyTypes: /^type\s/.test(names) || /^\{(\s*type\s[^,}]+,?)+\s*\}\s*$/.test(names),
	}));
});

test('every import is on the list of its folder', () => {
	const strangers = imports
		.filter(({ file, from }) => !isAllowed(file, from))
		.map(({ file, from }) => `${file}: ${from}`);
	expect(strangers).toEqual([]);
	expect(imports.length).toBeGreaterThan(500);
});

test('the list can refuse', () => {
	expect(isAllowed('shared/core/loads/plan-loads.ts', 'node:fs')).toBe(false);
	expect(isAllowed('shared/core/loads/plan-loads.ts', '../../contract/jobs.ts')).toBe(false);
	expect(isAllowed('renderer/app.tsx', '../db/tables.ts')).toBe(false);
	expect(isAllowed('db/tables.ts', 'left-pad')).toBe(false);
});

function isAllowed(file: string, from: string): boolean {
	const rule = rules.find(({ folder }) => file.startsWith(folder));
	if (!rule) return false;
	if (/\.(css|svg|html)(\?.*)?$/.test(from)) return true;
	if (from.startsWith('.')) {
		const target = posix.normalize(posix.join(posix.dirname(file), from));
		return (
			rule.folders.some((folder) => target.startsWith(folder)) ||
			(target.startsWith('package') && rule.folder === 'electron/')
		);
	}
	const name = from.replace(/\?.*$/, '');
	return rule.packages.some((allowed) => (typeof allowed === 'string' ? allowed === name : allowed.test(name)));
}

/** Modules in the order in which they may build on one another; those of one row stand beside each other. */
const moduleRows = [
	['wording', 'procedure', 'chain'],
	['settings'],
	['products', 'documents', 'fields', 'ground', 'spaces', 'sprayers', 'weather', 'loads', 'filling', 'limits'],
	['store', 'stock', 'waste', 'recommendations'],
	['jobs', 'recipes', 'fills'],
	['records'],
	['season'],
	['upkeep', 'audit'],
	['contract'],
];

/** `shared/contract/store-watch.ts` belongs to the store. */
function moduleOf(path: string): string {
	return posix.basename(path, '.ts').split('-')[0] ?? '';
}

test('in contract and database a module builds only on those before it', () => {
	const rowOf = (path: string) => moduleRows.findIndex((row) => row.includes(moduleOf(path)));
	const inside = imports.filter(
		({ file, from }) => /^(shared\/contract|db\/modules)\//.test(file) && /^\.\/[^/]+$/.test(from),
	);
	const backwards = inside.filter(({ file, from }) => rowOf(from) < 0 || rowOf(file) < 0 || rowOf(from) > rowOf(file));
	expect(backwards.map(({ file, from }) => `${file}: ${from}`)).toEqual([]);
	expect(inside.length).toBeGreaterThan(30);
	expect([rowOf('./store.ts') < rowOf('./jobs.ts'), rowOf('./stock-takes.ts') > rowOf('./products.ts')]).toEqual([
		true,
		true,
	]);
});

test('no file needs itself, however far round', () => {
	const needs = new Map<string, string[]>();
	for (const { file, from, onlyTypes } of imports) {
		if (onlyTypes || !from.startsWith('.')) continue;
		needs.set(file, [...(needs.get(file) ?? []), posix.normalize(posix.join(posix.dirname(file), from))]);
	}
	expect(circles(needs)).toEqual([]);
	expect(circles(new Map(Object.entries({ a: ['b'], b: ['c'], c: ['a'], d: ['a'] })))).toEqual(['a → b → c → a']);
});

function circles(needs: ReadonlyMap<string, readonly string[]>): string[] {
	const found: string[] = [];
	const seen = new Map<string, 'on the way' | 'done'>();
	const walk = (file: string, way: readonly string[]) => {
		seen.set(file, 'on the way');
		for (const next of needs.get(file) ?? []) {
			if (seen.get(next) === 'on the way') found.push([...way.slice(way.indexOf(next)), next].join(' → '));
			else if (!seen.has(next)) walk(next, [...way, next]);
		}
		seen.set(file, 'done');
	};
	for (const file of needs.keys()) if (!seen.has(file)) walk(file, [file]);
	return found;
}

test('every package is declared by the project, and only the tests use those of development', () => {
	const declared = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as Record<
		string,
		Record<string, string>
	>;
	const packages = imports
		.filter(({ from, onlyTypes }) => !onlyTypes && !/^(\.|node:)/.test(from))
		.map(({ from }) =>
			from
				.split('/')
				.slice(0, from.startsWith('@') ? 2 : 1)
				.join('/'),
		);
	const undeclared = [...new Set(packages)].filter((name) => !declared['dependencies']?.[name]);
	// These are fetched or built with at the developer's; the program finds them there or does without.
	expect(undeclared.sort()).toEqual(['electron', 'vite']);
});

const forbidden: readonly { readonly where: RegExp; readonly what: RegExp; readonly why: string }[] = [
	{ where: /^shared\/core\//, what: /Date\.now|new Date\(\)|Math\.random|toLocale|console\./, why: 'the core is pure' },
	{ where: /./, what: /export \* from/, why: 'no barrel files' },
	{ where: /./, what: /node:sqlite/, why: 'one SQLite library in a process' },
	{
		where: /^(?!db\/transaction).*/,
		what: /\bdb\.transaction\(|\btx\.transaction\(/,
		why: 'the one transaction function',
	},
	{ where: /./, what: /unsafeMode\(/, why: 'SQLite stays defensive' },
	{ where: /./, what: /\b(TODO|FIXME|HACK)\b/, why: 'open points stand in DEVELOPERS.md' },
	{ where: /\.ts$/, what: /ON DELETE CASCADE/i, why: 'nothing is deleted with something else' },
	{
		where: /^(?!db\/|electron\/host\/folder-lock\.ts|electron\/files\/geopackage\.ts)/,
		what: /new Database\(|\.pragma\(|\.prepare\(|VACUUM|SELECT [\w*]+ FROM/,
		why: 'SQL stands in db; the lock and a foreign GeoPackage are no books',
	},
	{
		where: /^(?!db\/)/,
		what: /\b(?:readFile|copyFile|open|createReadStream|createWriteStream|writeFile|appendFile|cp|rename|link|truncate)(?:Sync)?\([^;]*(?:book\.file|DATABASE_NAME)\b(?!\})/,
		why: 'nothing but SQLite opens the database file',
	},
	{ where: /./, what: /\b(?:tankfuls?|acreage|tank[- ]mix(?:es)?)\b/i, why: 'one word per idea: see the glossary' },
];

test('what must not be written is not written', () => {
	const found = sources.flatMap((file) => {
		const text = readFileSync(join(root, normalize(file)), 'utf8');
		return forbidden
			.filter(({ where, what }) => where.test(file) && what.test(text.replaceAll(/\/\*[\s\S]*?\*\/|\/\/.*/g, '')))
			.map(({ why }) => `${file}: ${why}`);
	});
	expect(found).toEqual([]);
});

test('each of these can be found', () => {
	const samples: Record<string, readonly [file: string, line: string]> = {
		'the core is pure': ['shared/core/x.ts', 'const now = Date.now();'],
		'no barrel files': ['shared/units/x.ts', "export * from './area.ts';"],
		'one SQLite library in a process': ['db/x.ts', "import { DatabaseSync } from 'node:sqlite';"],
		'the one transaction function': ['db/modules/x.ts', 'db.transaction(async () => {})'],
		'SQLite stays defensive': ['db/x.ts', 'sqlite.unsafeMode()'],
		'open points stand in DEVELOPERS.md': ['db/x.ts', `const x = 1; /${'/'} ${'TO'}${'DO'}`],
		'nothing is deleted with something else': ['db/x.ts', "'REFERENCES farm ON DELETE CASCADE'"],
		'SQL stands in db; the lock and a foreign GeoPackage are no books': ['electron/x.ts', "sqlite.prepare('…')"],
		'nothing but SQLite opens the database file': ['electron/x.ts', 'copyFileSync(book.file, to)'],
		'one word per idea: see the glossary': ['renderer/x.tsx', '<p>One tankful</p>'],
	};
	const missed = forbidden.filter(({ why, where, what }) => {
		const [file = '', line = ''] = samples[why] ?? [];
		return !where.test(file) || !what.test(line);
	});
	expect(missed.map(({ why }) => why)).toEqual([]);
});

test('migrations never cascade and never replace', () => {
	for (const file of globSync('migrations/*.sql', { cwd: root })) {
		const text = readFileSync(join(root, file), 'utf8');
		expect(text, file).not.toMatch(/CASCADE|\bREPLACE\b/i);
	}
});

test('no source file is longer than four hundred lines', () => {
	const long = sources.filter((file) => readFileSync(join(root, file), 'utf8').split('\n').length > 400);
	// Tables of published data may be longer.
	expect(long.filter((file) => !/table/.test(file))).toEqual([]);
});
