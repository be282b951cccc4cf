/**
 * Which requests reach a handler at all. Any page in any browser can send requests to 127.0.0.1, and a page whose name was
 * re-bound to it is even "same origin": only Host, Origin and Sec-Fetch-Site, which scripts cannot forge, tell them apart.
 * Sources: OWASP Cross-Site Request Forgery Prevention Cheat Sheet; W3C Fetch Metadata Request Headers; RFC 9110 §7.2.
 */

export type Asked = {
	readonly method: string;
	readonly target: string;
	/** Name, value, name, value … as they came. */
	readonly rawHeaders: readonly string[];
};

export type Turned = { readonly status: number; readonly why: string };

const LONGEST_TARGET = 2_000;

/** Where a window shows its launch token. */
export const HANDOVER_PATH = '/open';

/** Why a request is turned away, or null when it may go on. The first broken rule answers. */
export function turnedAway(asked: Asked, port: number): Turned | null {
	const header = (name: string) => valuesOf(asked.rawHeaders, name);
	const hosts = header('host');
	if (hosts.length !== 1) return { status: 400, why: 'it must name its host once' };
	const host = (hosts[0] ?? '').toLowerCase();
	if (!isOurHost(host, port)) return { status: 421, why: 'it is addressed to another host' };
	if (!/^\/(?![/\\])[\x21-\x7e]*$/.test(asked.target)) return { status: 400, why: 'its address is not a path' };
	if (asked.target.length > LONGEST_TARGET) return { status: 414, why: 'its address is too long' };
	if (!['GET', 'HEAD', 'POST'].includes(asked.method)) return { status: 405, why: 'only GET and POST are answered' };
	const refused = turnedAwayByOrigin(asked.method, `http://${host}`, header('origin'), header('sec-fetch-site'));
	return refused && isArrival(asked) ? null : refused;
}

function turnedAwayByOrigin(method: string, ours: string, origins: string[], sites: string[]): Turned | null {
	const [origin] = origins;
	const [site] = sites;
	if (origins.length > 1 || sites.length > 1) return { status: 400, why: 'a header came twice' };
	if (origin !== undefined && origin !== ours) return { status: 403, why: 'it comes from another page' };
	if (site !== undefined && site !== 'same-origin' && site !== 'none')
		return { status: 403, why: 'it comes from another page' };
	if (method !== 'POST') return null;
	if (origin === undefined) return { status: 403, why: 'it does not say which page it comes from' };
	if (site !== 'same-origin') return { status: 403, why: 'it does not come from a page of this program' };
	return null;
}

/** Whoever arrives from elsewhere (the launcher's own file does) is let in to the hand-over page, which holds no data. */
function isArrival({ method, target, rawHeaders }: Asked): boolean {
	return method === 'GET' && target === HANDOVER_PATH && valuesOf(rawHeaders, 'sec-fetch-mode').join() === 'navigate';
}

/** The three names of this computer, with our port, in any case. */
export function isOurHost(host: string, port: number): boolean {
	return [`127.0.0.1:${port}`, `localhost:${port}`, `[::1]:${port}`].includes(host.toLowerCase());
}

/** Every value of a header, in order; unlike the parsed headers none is dropped or joined. */
export function valuesOf(rawHeaders: readonly string[], name: string): string[] {
	return rawHeaders.filter((_, index) => index % 2 === 1 && rawHeaders[index - 1]?.toLowerCase() === name);
}
