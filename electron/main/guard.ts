import type { App, Session, WebContents } from 'electron';
import { APP_SCHEME, mayHavePermission, mayNavigate, PRINT_HOST } from './policy.ts';

/** Bars every way out of a page, for every page there will ever be. */
export function guardAllPages(app: Pick<App, 'on'>): void {
	app.on('web-contents-created', (_, contents) => guardPage(contents));
}

export function guardPage(contents: WebContents): void {
	const stay = (event: { preventDefault(): void; readonly url: string }) => {
		if (!mayNavigate(event.url)) event.preventDefault();
	};
	contents.on('will-navigate', stay);
	contents.on('will-redirect', stay);
	contents.on('will-frame-navigate', stay);
	contents.on('will-attach-webview', (event) => event.preventDefault());
	contents.setWindowOpenHandler(() => ({ action: 'deny' }));
}

/**
 * Refuses every permission but the harmless one, every device, and every request that would leave this computer, but for
 * pictures from the background's server while one is set.
 */
export function guardSession(session: Session, picturesFrom: () => Promise<string | null>): void {
	session.setPermissionRequestHandler((contents, permission, answer) =>
		answer(mayHavePermission(permission, contents.getURL())),
	);
	session.setPermissionCheckHandler((_, permission, origin) => mayHavePermission(permission, origin));
	session.setDevicePermissionHandler(() => false);
	session.webRequest.onBeforeRequest((details, answer) => {
		if (isInside(details.url) || details.resourceType !== 'image') answer({ cancel: !isInside(details.url) });
		else
			picturesFrom().then(
				(server) => answer({ cancel: server === null || !isFrom(details.url, server) }),
				() => answer({ cancel: true }),
			);
	});
}

function isFrom(url: string, server: string): boolean {
	return URL.canParse(url) && new URL(url).origin === new URL(server).origin;
}

/** The app scheme, and what a page holds itself. */
export function isInside(url: string): boolean {
	if (!URL.canParse(url)) return false;
	const { protocol, host } = new URL(url);
	if (protocol === `${APP_SCHEME}:`) return mayNavigate(new URL('/', url).href) || host === PRINT_HOST;
	return protocol === 'data:' || protocol === 'blob:' || protocol === 'devtools:';
}
