import { parentPort, workerData } from 'node:worker_threads';
import { readFarm } from '../../db/modules/settings.ts';
import { openForReading } from '../../db/open-book.ts';
import { invariant, type Result } from '../../shared/basics/result.ts';
import type { AsideMessage, AsideReply, AsideTask } from './aside.ts';
import type { Handler, Printer } from './handler.ts';
import { handlers } from './handlers.ts';

const { file, folder, demo } = workerData as { file: string; folder: string; demo: boolean };
const port = parentPort;
invariant(port, 'the reading thread is started by the program');
const book = openForReading(file, folder);
const printing = new Map<number, (outcome: Result<Uint8Array>) => void>();
let pages = 0;

/** Pages are printed by the door; this thread hands them over. */
const printer: Printer = {
	pdf: (html) =>
		new Promise((done) => {
			pages += 1;
			printing.set(pages, done);
			say({ kind: 'print', page: pages, html });
		}),
};

port.on('message', (message: AsideTask | AsideReply) => {
	if (!('kind' in message)) return void answer(message);
	printing.get(message.page)?.(message.outcome);
	printing.delete(message.page);
});

async function answer({ id, name, input, now }: AsideTask): Promise<void> {
	try {
		const [module = '', procedure = ''] = name.split('.');
		const handler = (handlers as unknown as Record<string, Record<string, Handler<unknown, unknown>>>)[module]?.[
			procedure
		];
		invariant(handler?.kind === 'query', `${name} is a query`);
		const farm = await readFarm(book.read);
		say({ kind: 'answer', id, outcome: await handler.run({ db: book.read, book, now, farm, demo, printer }, input) });
	} catch (error) {
		say({ kind: 'bug', id, trace: error instanceof Error ? (error.stack ?? error.message) : String(error) });
	}
}

function say(message: AsideMessage): void {
	port?.postMessage(message);
}
