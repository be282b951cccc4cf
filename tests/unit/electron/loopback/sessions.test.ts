import { expect, test } from 'vitest';
import { createSessions, type Session } from '../../../../electron/loopback/sessions.ts';

function atClock() {
	const clock = { now: 1_000_000 };
	return { clock, sessions: createSessions(() => clock.now) };
}

test('a launch token lives for one minute', () => {
	const { clock, sessions } = atClock();
	const [early, late] = [sessions.newLaunchToken(), sessions.newLaunchToken()];
	clock.now += 60_000;
	expect(sessions.redeem(early)).toMatchObject({ cookie: expect.any(String), key: expect.any(String) });
	clock.now += 1;
	expect(sessions.redeem(late)).toBeNull();
});

test('wrong tokens wait longer and longer, up to a minute, then are looked at again', () => {
	const { clock, sessions } = atClock();
	for (let count = 0; count < 19; count++) expect(sessions.redeem('wrong')).toBeNull();
	const waits: number[] = [];
	for (let count = 0; count < 9; count++) {
		expect(sessions.redeem('wrong')).toBeNull();
		waits.push(sessions.waitS());
		expect(sessions.redeem(sessions.newLaunchToken())).toBe('waiting');
		clock.now += sessions.waitS() * 1000;
	}
	expect(waits).toEqual([1, 2, 4, 8, 16, 32, 60, 60, 60]);
	expect(sessions.redeem(sessions.newLaunchToken())).not.toBeNull();
});

test('who is in stays in while others wait', () => {
	const { sessions } = atClock();
	const session = sessions.redeem(sessions.newLaunchToken()) as Session;
	for (let count = 0; count < 100; count++) sessions.standing({ cookie: 'wrong', key: 'wrong' }, 'cookie and key');
	expect([
		sessions.standing(session, 'cookie and key'),
		sessions.standing({ cookie: session.cookie }, 'cookie'),
		sessions.standing({ cookie: session.cookie }, 'cookie and key'),
		sessions.standing({ key: session.key }, 'cookie and key'),
		sessions.standing({}, 'cookie and key'),
		sessions.standing({ cookie: 'wrong' }, 'cookie'),
	]).toEqual(['in', 'in', 'none', 'none', 'none', 'waiting']);
});

test('two windows of one browser share the newest cookie, each with its own key', () => {
	const { sessions } = atClock();
	const first = sessions.redeem(sessions.newLaunchToken()) as Session;
	const second = sessions.redeem(sessions.newLaunchToken()) as Session;
	const standings = [first.key, second.key].map((key) =>
		sessions.standing({ cookie: second.cookie, key }, 'cookie and key'),
	);
	expect(standings).toEqual(['in', 'in']);
});

test('no two secrets are alike, and each has 256 bits', () => {
	const { sessions } = atClock();
	const secrets = Array.from({ length: 20 }, () => {
		const token = sessions.newLaunchToken();
		const { cookie, key } = sessions.redeem(token) as Session;
		return [token, cookie, key];
	}).flat();
	expect([new Set(secrets).size, secrets.every((secret) => Buffer.from(secret, 'base64url').length === 32)]).toEqual([
		60,
		true,
	]);
});
