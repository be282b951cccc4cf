import { basename } from 'node:path';
import { type IpcMainEvent, type IpcMainInvokeEvent, ipcMain } from 'electron';
import { z } from 'zod';
import { isOwnFrame } from './policy.ts';

/** All the page can ask of the desktop itself, with the shape of what it may send. Data goes over the ports. */
export const messages = {
	'open-book': z.enum(['farm', 'demo']),
	'pick-file': z
		.array(
			z.strictObject({
				name: z.string().min(1).max(100),
				extensions: z
					.array(z.string().regex(/^[a-z0-9]{1,12}$/i))
					.min(1)
					.max(20),
			}),
		)
		.max(10),
	'pick-target': z
		.string()
		.min(1)
		.max(200)
		.transform((name) => basename(name)),
} as const;

export type MessageName = keyof typeof messages;
type Sent<Name extends MessageName> = z.output<(typeof messages)[Name]>;

/** The only way to listen to the page: a foreign or vanished sender and anything of another shape are refused. */
export function handle<Name extends MessageName>(
	name: Name,
	run: (event: IpcMainInvokeEvent, sent: Sent<Name>) => unknown,
): void {
	ipcMain.handle(name, (event, ...args: unknown[]) => {
		const sent = accepted(name, event, args);
		return sent === null ? Promise.reject(new Error('refused')) : run(event, sent.value);
	});
}

/** The same for messages without an answer. */
export function listen<Name extends MessageName>(
	name: Name,
	run: (event: IpcMainEvent, sent: Sent<Name>) => void,
): void {
	ipcMain.on(name, (event, ...args: unknown[]) => {
		const sent = accepted(name, event, args);
		if (sent !== null) run(event, sent.value);
	});
}

function accepted<Name extends MessageName>(
	name: Name,
	event: IpcMainEvent | IpcMainInvokeEvent,
	args: readonly unknown[],
): { value: Sent<Name> } | null {
	if (!isOwnFrame(event.senderFrame) || args.length !== 1) return null;
	const read = messages[name].safeParse(args[0]);
	return read.success ? { value: read.data as Sent<Name> } : null;
}
