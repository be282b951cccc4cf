import { expect, test } from 'vitest';
import { listProcedures } from '../../electron/call/list.ts';
import { handlers } from '../../electron/procedures/handlers.ts';

type Schema = {
	readonly type?: string;
	readonly properties?: Readonly<Record<string, Schema>>;
	readonly required?: readonly string[];
	readonly additionalProperties?: unknown;
	readonly items?: Schema;
};

const procedures = listProcedures().map((entry) => ({
	...entry,
	input: entry.input as Schema,
	output: entry.output as Schema,
}));

/** Name, kind, what must be given, what comes back: others call these by name, so they stay. `[]`: each line of a list. */
const reliedOn: readonly (readonly [name: string, kind: string, needs: string, gives: string])[] = [
	['fields.measure', 'pure', 'geometry', 'areaHa perimeterM vertexCount areaSigmaHa'],
	['fields.reconcile', 'pure', '', ''],
	['fields.import', 'command', 'path', 'added updated refused warnings'],
	['fields.list', 'query', '', '[] id name code measuredHa mappedHa loadForHa'],
	['products.add', 'command', 'name formulation unit packSizes', 'id'],
	['store.receive', 'command', 'key productId packSize packs', 'movementIds'],
	['store.onHand', 'query', '', '[] productId name unit amount packs opened'],
	['store.count', 'command', 'key productId counted why by', 'bookAmount difference'],
	['sprayers.add', 'command', 'name', 'id'],
	['sprayers.calibrate', 'pure', '', ''],
	['sprayers.rinse', 'pure', '', ''],
	['weather.deltaT', 'pure', '', ''],
	['loads.plan', 'pure', '', ''],
	['loads.fill', 'pure', '', ''],
	['loads.mixOrder', 'pure', '', ''],
	['jobs.add', 'command', 'key sprayerId fields products', 'id loads'],
	['jobs.logLoad', 'command', 'key jobId load startedAt finishedAt operator', 'recordIds drawn'],
	['jobs.reverseLoad', 'command', 'key jobId load why by', 'recordIds returned'],
	['records.list', 'query', '', '[] id date field treatedHa product dosePerHa amount unit version missing'],
	['records.verify', 'query', '', 'ok entries head'],
	['limits.check', 'query', '', ''],
	['season.reconcile', 'query', 'from to', ''],
	['season.report', 'query', 'report format from to', 'path rows'],
	['upkeep.backup', 'query', 'path', 'ok'],
	['upkeep.verifyBackup', 'query', 'path', 'ok'],
	['upkeep.restore', 'command', 'path', 'ok'],
];

test.each(reliedOn)('%s is a %s that needs no more than "%s" and gives "%s"', (name, kind, needs, gives) => {
	const found = procedures.find((procedure) => procedure.name === name);
	expect(found?.kind).toBe(kind);
	const [list, ...lineNames] = gives.split(' ');
	const output = list === '[]' ? found?.output.items : found?.output;
	const names = list === '[]' ? lineNames : [list, ...lineNames].filter((each) => each !== '');
	expect(Object.keys(output?.properties ?? {})).toEqual(expect.arrayContaining(names));
	if (needs === '') return;
	// Where an input may come in several shapes its needs are the schema's own affair.
	expect([...(found?.input.required ?? [])].sort()).toEqual(needs.split(' ').sort());
});

/** Without a key the door makes one: what is added by hand, and files that are brought in. */
const KEY_MAY_BE_LEFT_OUT = [
	'fields.add',
	'fields.import',
	'products.add',
	'products.importList',
	'sprayers.add',
	'upkeep.restore',
];
/** Fills an empty demonstration book, and does nothing in one that is filled. */
const WITHOUT_KEY = ['upkeep.buildDemo'];

test('every command takes a key of 1 to 100 characters, and nothing else does', () => {
	const keyed = procedures.filter(({ input }) => input.properties?.['key'] !== undefined);
	const commands = procedures.filter(({ kind, name }) => kind === 'command' && !WITHOUT_KEY.includes(name));
	expect(keyed.map(({ name }) => name).sort()).toEqual(commands.map(({ name }) => name).sort());
	const optional = keyed.filter(({ input }) => !input.required?.includes('key')).map(({ name }) => name);
	expect(optional.sort()).toEqual(KEY_MAY_BE_LEFT_OUT);
	// The key of a step is its id, so that an undo can name it while the first answer is still on its way.
	const longest = (name: string) => (name === 'fills.step' ? 64 : 100);
	for (const { name, input } of keyed) {
		expect(input.properties?.['key'], name).toMatchObject({ minLength: 1, maxLength: longest(name) });
	}
});

test('every procedure says in one line what it does, and no two the same', () => {
	const lines = procedures.map(({ does }) => does);
	expect(lines.filter((line) => !/^[A-Z][^\n]{8,140}[^.\s]$/.test(line))).toEqual([]);
	expect(new Set(lines).size).toBe(lines.length);
});

test('names are one trade word for the module and a plain one for the deed', () => {
	expect(procedures.filter(({ name }) => !/^[a-z]+\.[a-z][A-Za-z]+$/.test(name))).toEqual([]);
});

test('an input with a name nobody knows is refused, not passed over', () => {
	const open = procedures.filter(({ input }) => input.type === 'object' && input.additionalProperties !== false);
	expect(open.map(({ name }) => name)).toEqual([]);
	expect(procedures.filter(({ input }) => input.type === 'object').length).toBeGreaterThan(60);
});

test('what a procedure is declared as is what its handler is', () => {
	const table = handlers as unknown as Record<string, Record<string, { kind: string }>>;
	const handled = Object.entries(table).flatMap(([module, own]) =>
		Object.entries(own).map(([name, { kind }]) => `${module}.${name} ${kind}`),
	);
	expect(handled.sort()).toEqual(procedures.map(({ name, kind }) => `${name} ${kind}`).sort());
});
