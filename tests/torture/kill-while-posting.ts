import { type Children, killAfterFirstLine } from './children.ts';
import { type Inspection, inspect } from './inspect.ts';

const LONGEST_WAIT_MS = 30;

export type KillCount = Inspection & { readonly kills: number; readonly acknowledged: number };

export type Killing = {
	readonly children: Children;
	readonly folder: string;
	readonly kills: number;
	readonly random: () => number;
	/** The control: each load is acknowledged before it is logged. */
	readonly tooEarly?: boolean;
};

/** Starts a process that logs loads, kills it at some moment after its first acknowledgement, and looks at what is there. */
export async function killWhilePosting({ children, folder, kills, random, tooEarly }: Killing): Promise<KillCount> {
	const acknowledged = new Set<string>();
	for (let round = 0; round < kills; round++) {
		const options = JSON.stringify({ folder, round: String(round), ...(tooEarly ? { tooEarly } : {}) });
		const said = await killAfterFirstLine(children.start('post-loads', [options]), random() * LONGEST_WAIT_MS);
		if (!said.killed) throw new Error(`the process ended by itself: ${said.trouble}`);
		for (const key of said.lines) acknowledged.add(key);
	}
	return { kills, acknowledged: acknowledged.size, ...(await inspect(folder, acknowledged)) };
}
