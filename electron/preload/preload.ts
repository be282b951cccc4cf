/** All that the page sees of the desktop: named functions that pass plain values, and the ports to the books. */
import { contextBridge, ipcRenderer } from 'electron';

type FileKind = { readonly name: string; readonly extensions: readonly string[] };

contextBridge.exposeInMainWorld('fillmark', {
	pickFile: (kinds: readonly FileKind[]) => ipcRenderer.invoke('pick-file', kinds),
	pickTarget: (suggestedName: string) => ipcRenderer.invoke('pick-target', suggestedName),
	openBook: (book: 'farm' | 'demo') => ipcRenderer.send('open-book', book),
});

ipcRenderer.on('rpc-port', (event, book: string) => {
	window.postMessage({ type: 'rpc-port', book }, location.origin, [...event.ports]);
});
