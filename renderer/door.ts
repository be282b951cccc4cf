import type { Book } from './book.ts';

/** What the desktop window's preload offers the page. In a browser none of it is there. */
export type DesktopBridge = {
	/** Asks for a file with the system's own dialog; null when nothing was chosen. */
	readonly pickFile: (kinds: readonly FileKind[]) => Promise<{ path: string; name: string } | null>;
	/** Asks where to write a file; null when nothing was chosen. */
	readonly pickTarget?: (suggestedName: string) => Promise<string | null>;
	/** Asks the main process for the line to one book; it arrives as the window message `rpc-port`. */
	readonly openBook?: (book: Book) => void;
};

export type FileKind = { readonly name: string; readonly extensions: readonly string[] };

declare global {
	interface Window {
		readonly fillmark?: DesktopBridge;
	}
}

/** The hand-over page of the loopback door leaves this window's key here, and nowhere else. */
const TOKEN = 'fillmark-token';

/** The header that proves a request comes from this window. */
export function tokenHeader(): Record<string, string> {
	return { 'x-fillmark-token': sessionStorage.getItem(TOKEN) ?? '' };
}

/** Where a browser fetches a file that was written into the exports folder of a book. */
export function exportedFileUrl(book: Book, path: string): string {
	return `/exports/${book}/${encodeURIComponent(path.split(/[\\/]/).at(-1) ?? '')}`;
}

/** The browser's own download of such a file, as if its link had been pressed. */
export function downloadExported(book: Book, path: string): void {
	const link = document.createElement('a');
	link.href = exportedFileUrl(book, path);
	link.download = '';
	link.click();
}
