import { ok, type Result, refuse } from '../../basics/result.ts';

/** Pictures laid under the map, from a server the farm names: numbered squares (XYZ), or a web map service (OGC WMS). */
export type BackgroundLayer = {
	readonly kind: 'xyz' | 'wms';
	/** XYZ: with {z}, {x} and {y}; WMS: the address of the service. */
	readonly address: string;
	/** WMS: names of the layers, divided by commas. */
	readonly layers: string | null;
	/** The line its provider asks for. */
	readonly credit: string;
	/** XYZ: the last zoom the server has squares for; beyond it they are enlarged. */
	readonly deepestZoom: number;
};

const PARTS = /^(https?):\/\/([^/?#]*)([^#\s]*)$/i;
const HOST = /^([a-z0-9]([a-z0-9-]*[a-z0-9])?\.)*[a-z0-9]([a-z0-9-]*[a-z0-9])?(:\d{1,5})?$/i;
/** This computer's own names: what is asked of them goes over no line, so it needs no encryption. */
const HERE = /^(localhost|127\.0\.0\.1)(:\d{1,5})?$/i;
/** What a map program adds to a WMS address itself (OGC 06-042, 7.3.2). */
const ADDED = [
	...['service', 'request', 'version', 'layers', 'styles', 'format', 'transparent'],
	...['crs', 'srs', 'bbox', 'width', 'height'],
];

/**
 * A background layer as it may be used: the address checked, a WMS address without what is added to every question.
 *
 * Refuses `background.unusable`, saying what to write instead: the page may load pictures from this one server, so its
 * name stands plainly in the address, and what is asked of it is encrypted on the way.
 */
export function checkBackground(layer: BackgroundLayer): Result<BackgroundLayer> {
	const address = layer.address.trim();
	const why = whyNot({ ...layer, address });
	if (why !== null) return refuse('background.unusable', { why });
	return ok({ ...layer, address: layer.kind === 'wms' ? withoutAdded(address) : address });
}

/** The server a layer comes from, as a content security policy names it: `https://tiles.example:8443`. */
export function originOf({ address }: Pick<BackgroundLayer, 'address'>): string | null {
	const [, scheme, host] = PARTS.exec(address) ?? [];
	return scheme && host && HOST.test(host) ? `${scheme}://${host}`.toLowerCase() : null;
}

function whyNot({ kind, address, layers }: BackgroundLayer): string | null {
	const [, scheme = '', host = '', rest = ''] = PARTS.exec(address) ?? [];
	if (scheme === '') return 'it begins with https:// and has no spaces';
	if (host.includes('{')) return `write one name of the server in place of ${placeholdersOf(host)[0] ?? '{…}'}`;
	if (host.includes('@')) return 'leave out the user and the password: they would be sent in every question';
	if (!HOST.test(host)) return `${host === '' ? 'nothing' : host} is no name of a server`;
	if (Number(/:(\d+)$/.exec(host)?.[1] ?? 0) > 65_535) return 'a port is a number up to 65535';
	if (/["'`<>\\;]/.test(rest)) return 'write quotation marks, angle brackets and semicolons as % codes';
	if (scheme.toLowerCase() === 'http' && !HERE.test(host)) return 'begin it with https://, so that nobody reads along';
	return kind === 'xyz' ? whyNoSquares(rest) : whyNoService(rest, layers);
}

function whyNoSquares(rest: string): string | null {
	const named = placeholdersOf(rest);
	const missing = ['{z}', '{x}', '{y}'].filter((name) => !named.includes(name));
	if (missing.length > 0) return `${missing.join(' and ')} must stand where the server wants zoom, column and row`;
	const unknown = named.find((name) => !['{z}', '{x}', '{y}'].includes(name));
	return unknown ? `write what ${unknown} stands for: only {z}, {x} and {y} are filled in` : null;
}

function whyNoService(rest: string, layers: string | null): string | null {
	if (rest.includes('{')) return 'a WMS address has no {…}: with {z}, {x} and {y} it is an XYZ address';
	return (layers ?? '').trim() === '' ? 'name the layers of the service, divided by commas' : null;
}

function placeholdersOf(text: string): string[] {
	return text.match(/\{[^}]*\}?/g) ?? [];
}

function withoutAdded(address: string): string {
	const [base = '', query = ''] = address.split('?', 2);
	const kept = query.split('&').filter((pair) => {
		const name = pair.split('=')[0]?.toLowerCase() ?? '';
		return name !== '' && !ADDED.includes(name);
	});
	return kept.length === 0 ? base : `${base}?${kept.join('&')}`;
}
