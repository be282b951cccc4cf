/** A process that reads one file for us. Node forks it, Electron starts it its own way; both look like this. */
export type ReaderProcess = {
	readonly pid: number | undefined;
	readonly send: (message: unknown) => void;
	readonly listen: (onMessage: (message: unknown) => void, onExit: (code: number | null) => void) => void;
	readonly kill: () => void;
};

/** Starts the program at `entry`. */
export type StartProcess = (entry: string) => ReaderProcess;
