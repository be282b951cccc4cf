import { expect, test, vi } from 'vitest';

const electron = vi.hoisted(() => ({
	exposed: new Map<string, Record<string, (...args: unknown[]) => unknown>>(),
	heard: new Map<string, (event: unknown, ...args: unknown[]) => void>(),
	sent: [] as unknown[][],
}));
vi.mock('electron', () => ({
	contextBridge: {
		exposeInMainWorld: (name: string, api: Record<string, () => unknown>) => electron.exposed.set(name, api),
	},
	ipcRenderer: {
		invoke: async (...args: unknown[]) => electron.sent.push(['invoke', ...args]),
		send: (...args: unknown[]) => electron.sent.push(['send', ...args]),
		on: (name: string, run: () => void) => electron.heard.set(name, run),
	},
}));

test('the page sees three functions, and the ports arrive as window messages', async () => {
	const posted: unknown[][] = [];
	vi.stubGlobal('window', { postMessage: (...args: unknown[]) => posted.push(args) });
	vi.stubGlobal('location', { origin: 'app://fillmark' });
	await import('../../../../electron/preload/preload.ts');
	const bridge = electron.exposed.get('fillmark') ?? {};
	expect([...electron.exposed.keys()]).toEqual(['fillmark']);
	expect(Object.entries(bridge).map(([name, value]) => [name, typeof value])).toEqual([
		['pickFile', 'function'],
		['pickTarget', 'function'],
		['openBook', 'function'],
	]);
	bridge['pickFile']?.([]);
	bridge['pickTarget']?.('diary.pdf');
	bridge['openBook']?.('demo');
	const port = { port: 1 };
	electron.heard.get('rpc-port')?.({ ports: [port], sender: 'never passed on' }, 'demo');
	expect([electron.sent, posted]).toEqual([
		[
			['invoke', 'pick-file', []],
			['invoke', 'pick-target', 'diary.pdf'],
			['send', 'open-book', 'demo'],
		],
		[[{ type: 'rpc-port', book: 'demo' }, 'app://fillmark', [port]]],
	]);
	vi.unstubAllGlobals();
});
