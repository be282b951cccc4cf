import { randomBytes, timingSafeEqual } from 'node:crypto';

/** A window that has shown its launch token: the cookie its browser sends, and the key its page adds to every request. */
export type Session = { readonly cookie: string; readonly key: string };

/** How a request stands: `wrong` showed something that opens nothing, `waiting` is one too many of those. */
export type Standing = 'in' | 'none' | 'wrong' | 'waiting';

export type Shown = { readonly cookie?: string | undefined; readonly key?: string | undefined };

export type Sessions = {
	/** For one window, once, within the next minute. */
	newLaunchToken(): string;
	/** A session for a launch token; null when it is used, expired or not ours. */
	redeem(launchToken: string): Session | 'waiting' | null;
	/**
	 * The cookie is enough to see the page, never to touch data. Windows of one browser share the newest cookie, so the
	 * key may be of another session than the cookie; both must be ours.
	 */
	standing(shown: Shown, needed: 'cookie' | 'cookie and key'): Standing;
	/** Seconds until wrong tokens are looked at again. */
	waitS(): number;
};

const LAUNCH_TOKEN_LIVES_MS = 60_000;
const MOST_LAUNCH_TOKENS = 20;
const MOST_SESSIONS = 20;
const WRONG_BEFORE_WAIT = 20;
const LONGEST_WAIT_MS = 60_000;

/** All tokens live in memory only and end with the process. */
export function createSessions(now: () => number = Date.now, onOpened: () => void = () => {}): Sessions {
	const launches: { token: string; until: number }[] = [];
	const sessions: Session[] = [];
	let wrong = 0;
	let waitUntil = 0;

	/** After 20 wrong tokens each further one doubles the wait, up to a minute. A window that is in is never kept waiting. */
	function noteWrong(): void {
		wrong += 1;
		if (wrong < WRONG_BEFORE_WAIT) return;
		waitUntil = now() + Math.min(LONGEST_WAIT_MS, 1_000 * 2 ** Math.min(wrong - WRONG_BEFORE_WAIT, 6));
	}

	return {
		newLaunchToken() {
			const token = newSecret();
			launches.push({ token, until: now() + LAUNCH_TOKEN_LIVES_MS });
			if (launches.length > MOST_LAUNCH_TOKENS) launches.shift();
			return token;
		},
		redeem(launchToken) {
			if (now() < waitUntil) return 'waiting';
			const index = launches.findIndex(({ token }) => sameSecret(token, launchToken));
			const [launch] = index < 0 ? [] : launches.splice(index, 1);
			if (!launch || launch.until < now()) {
				noteWrong();
				return null;
			}
			wrong = 0;
			const session = { cookie: newSecret(), key: newSecret() };
			sessions.push(session);
			if (sessions.length > MOST_SESSIONS) sessions.shift();
			onOpened();
			return session;
		},
		standing({ cookie, key }, needed) {
			const cookieFits = sessions.some((session) => sameSecret(session.cookie, cookie ?? ''));
			const keyFits = sessions.some((session) => sameSecret(session.key, key ?? ''));
			if (cookieFits && (needed === 'cookie' || keyFits)) return 'in';
			const isWrong = (cookie !== undefined && !cookieFits) || (key !== undefined && !keyFits);
			if (!isWrong) return 'none';
			if (now() < waitUntil) return 'waiting';
			noteWrong();
			return 'wrong';
		},
		waitS: () => Math.max(1, Math.ceil((waitUntil - now()) / 1000)),
	};
}

/** 256 bits. */
function newSecret(): string {
	return randomBytes(32).toString('base64url');
}

function sameSecret(ours: string, given: string): boolean {
	const [a, b] = [Buffer.from(ours), Buffer.from(given)];
	return a.length === b.length && timingSafeEqual(a, b);
}
