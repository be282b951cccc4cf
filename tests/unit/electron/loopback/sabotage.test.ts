import { expect, test, vi } from 'vitest';
import { everyAnswer, foreignWritesLetThrough, headersMissing, hostsLetThrough } from './attacks.ts';
import { openDoor } from './open-door.ts';

// The controls of server.test.ts: with the gate torn down and the headers taken away, its checks must see it.
vi.mock('../../../../electron/loopback/gate.ts', async (original) => ({
	...(await original<typeof import('../../../../electron/loopback/gate.ts')>()),
	turnedAway: () => null,
}));
vi.mock('../../../../electron/loopback/server.ts', async (original) => {
	const { ServerResponse } = await import('node:http');
	const { setHeader } = ServerResponse.prototype;
	ServerResponse.prototype.setHeader = function (name, value) {
		return name === 'x-frame-options' ? this : setHeader.call(this, name, value);
	};
	return original<typeof import('../../../../electron/loopback/server.ts')>();
});

test('without the gate foreign hosts get through, and the test sees it', async () => {
	expect((await hostsLetThrough(await openDoor())).length).toBeGreaterThan(100);
});

test('without the gate a foreign page writes, and the test sees it', async () => {
	expect((await foreignWritesLetThrough(await openDoor())).length).toBeGreaterThan(10);
});

test('a missing header is seen', async () => {
	const answers = await everyAnswer(await openDoor());
	expect(answers.flatMap(([name, reply]) => headersMissing(name, reply)).length).toBeGreaterThan(10);
});
