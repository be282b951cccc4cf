import { readdirSync, readFileSync } from 'node:fs';
import { extname, join } from 'node:path';

/** One file of the built page. */
export type Asset = { readonly type: string; readonly bytes: Buffer };

/** The built page, read once: what is not in it cannot be asked for, whatever path is tried. */
export type Site = ReadonlyMap<string, Asset>;

/** The place in index.html where each answer's own nonce goes. */
export const NONCE_MARK = '__CSP_NONCE__';

const types: Readonly<Record<string, string>> = {
	'.html': 'text/html; charset=utf-8',
	'.js': 'text/javascript; charset=utf-8',
	'.css': 'text/css; charset=utf-8',
	'.svg': 'image/svg+xml',
	'.png': 'image/png',
	'.ico': 'image/x-icon',
	'.webp': 'image/webp',
	'.woff2': 'font/woff2',
	'.json': 'application/json',
	'.txt': 'text/plain; charset=utf-8',
	'.wasm': 'application/wasm',
};

/** Reads a folder of built files; keys are URL paths (`/assets/x.js`). Links and files of other kinds are left out. */
export function readSite(folder: string): Site {
	const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
	return new Map(
		files.flatMap((entry): [string, Asset][] => {
			const file = join(entry.parentPath, entry.name);
			const type = types[extname(entry.name).toLowerCase()];
			const path = file.slice(folder.length).replaceAll('\\', '/');
			return type ? [[path.startsWith('/') ? path : `/${path}`, { type, bytes: readFileSync(file) }]] : [];
		}),
	);
}

/** The page with the nonce of this answer; nonces are base64url, so nothing in them can end an attribute. */
export function pageWithNonce(site: Site, nonce: string): string | null {
	return site.get('/index.html')?.bytes.toString('utf8').replaceAll(NONCE_MARK, nonce) ?? null;
}

/**
 * The page may load from its own origin only and run no text as code; styles made at run time carry the nonce. While a
 * background is set under the map, pictures may come from that one server too.
 * Source: W3C Content Security Policy Level 3.
 */
export function contentSecurityPolicy(nonce: string | null, picturesFrom: string | null = null): string {
	return [
		"default-src 'none'",
		"script-src 'self'",
		nonce === null ? "style-src 'self'" : `style-src 'self' 'nonce-${nonce}'`,
		`img-src 'self' data: blob:${picturesFrom === null ? '' : ` ${picturesFrom}`}`,
		"font-src 'self'",
		"connect-src 'self'",
		"worker-src 'self'",
		"object-src 'none'",
		"base-uri 'none'",
		"form-action 'none'",
		"frame-ancestors 'none'",
	].join('; ');
}

const switchedOff = [
	'accelerometer',
	'autoplay',
	'bluetooth',
	'camera',
	'clipboard-read',
	'display-capture',
	'encrypted-media',
	'fullscreen',
	'geolocation',
	'gyroscope',
	'hid',
	'local-fonts',
	'magnetometer',
	'microphone',
	'midi',
	'payment',
	'publickey-credentials-get',
	'serial',
	'usb',
	'xr-spatial-tracking',
];

/** On every answer, whatever it is. Source: OWASP HTTP Headers Cheat Sheet. */
export function securityHeaders(
	nonce: string | null = null,
	picturesFrom: string | null = null,
): Record<string, string> {
	return {
		'content-security-policy': contentSecurityPolicy(nonce, picturesFrom),
		'x-content-type-options': 'nosniff',
		'x-frame-options': 'DENY',
		'cross-origin-opener-policy': 'same-origin',
		'cross-origin-resource-policy': 'same-origin',
		// Without credentials a map server needs to know nothing of this page, and gets no cookie.
		'cross-origin-embedder-policy': picturesFrom === null ? 'require-corp' : 'credentialless',
		'referrer-policy': 'no-referrer',
		'permissions-policy': switchedOff.map((name) => `${name}=()`).join(', '),
		'cache-control': 'no-store',
	};
}
