/** Starts the built program on the Electron that is none, uses it like a window would, and prints what it saw. */
import { registerHooks } from 'node:module';
import { RPCLink } from '@orpc/client/message-port';
import { seen } from './fake-electron.mjs';

const [main, data, boundaries] = process.argv.slice(2);
const fake = new URL('./fake-electron.mjs', import.meta.url).href;
registerHooks({
	resolve: (name, context, next) => (name === 'electron' ? { url: fake, shortCircuit: true } : next(name, context)),
});
process.argv.splice(1, Number.POSITIVE_INFINITY, main, '--data', data);
await import(main);
while (!seen.windows[0]?.url && seen.errors.length === 0) await new Promise((done) => setTimeout(done, 20));

function openBook(book) {
	const { promise, resolve } = Promise.withResolvers();
	const sender = { postMessage: (_, name, [port]) => resolve({ name, port }) };
	seen.handlers.get('open-book')({ senderFrame: { url: 'app://fillmark/', parent: null }, sender }, book);
	return promise;
}

const page = await seen.pages(new Request('app://fillmark/'));
const { name, port } = await openBook('farm');
port.start();
const link = new RPCLink({ port });
const imported = await link.call(['fields', 'import'], { path: boundaries }, { context: {} });
const fields = await link.call(['fields', 'list'], {}, { context: {} });
process.stdout.write(
	JSON.stringify({
		order: seen.order,
		errors: seen.errors,
		paths: seen.paths,
		url: seen.windows[0].url,
		preload: seen.windows[0].options.webPreferences.preload,
		page: [page.status, /nonce-/.test(page.headers.get('content-security-policy'))],
		book: name,
		added: imported.added.map((field) => field.name),
		fields: fields.map((field) => field.name),
	}),
);
process.kill(process.pid, 'SIGTERM');
