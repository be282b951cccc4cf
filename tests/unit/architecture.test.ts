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
			'drizzle-orm',
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

type Import = { readonly file: string; readonly from: string };

const imports: readonly Import[] = sources.flatMap((file) => {
	const text = readFileSync(join(root, file), 'utf8');
	const found = text.matchAll(
		/(?:^|\n)\s*(?:import|export)\s[^'"]*?from\s*'([^']+)'|import\('([^']+)'\)|(?:^|\n)import '([^']+)'/g,
	);
	return [...found].map((match) => ({ file, from: match[1] ?? match[2] ?? match[3] ?? '' }));
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
