import { useEffect, useRef, useState } from 'react';

const TICK_MS = 500;

/** The time, twice a second. */
export function useNow(): number {
	const [now, setNow] = useState(() => Date.now());
	useEffect(() => {
		const timer = setInterval(() => setNow(Date.now()), TICK_MS);
		return () => clearInterval(timer);
	}, []);
	return now;
}

/** Keys of the running fill; a letter in an entry field or a dialog stays a letter, and a button under the focus keeps its Space. */
export function useYardKeys(actions: Readonly<Record<string, () => void>>): void {
	const latest = useRef(actions);
	latest.current = actions;
	useEffect(() => {
		const press = (event: KeyboardEvent) => {
			const act = actionOf(latest.current, event);
			if (!act) return;
			event.preventDefault();
			if (event.type === 'keydown' && !event.repeat) act();
		};
		window.addEventListener('keydown', press, true);
		window.addEventListener('keyup', press, true);
		return () => {
			window.removeEventListener('keydown', press, true);
			window.removeEventListener('keyup', press, true);
		};
	}, []);
}

function actionOf(actions: Readonly<Record<string, () => void>>, event: KeyboardEvent): (() => void) | undefined {
	if (event.ctrlKey || event.altKey || event.metaKey) return undefined;
	// The focus may have left an open dialog with a button that went: its keys are still not those of the fill.
	if (document.querySelector('[role="dialog"]')) return undefined;
	const target = event.target instanceof Element ? event.target : null;
	if (target?.closest('input, textarea, select, [contenteditable]')) return undefined;
	if (event.key === ' ' && target?.matches('button:focus-visible, a:focus-visible, summary:focus-visible'))
		return undefined;
	return actions[event.key === ' ' ? 'Space' : event.key.toUpperCase()];
}

/** Keeps the screen lit while a fill runs, where the computer can. */
export function useLitScreen(running: boolean): void {
	useEffect(() => {
		if (!running || !('wakeLock' in navigator)) return;
		let lock: WakeLockSentinel | undefined;
		let over = false;
		const ask = async () => {
			if (document.visibilityState !== 'visible') return;
			try {
				lock = await navigator.wakeLock.request('screen');
				if (over) await lock.release();
			} catch {
				// A screen that may not be kept lit goes dark as usual; nothing is lost.
			}
		};
		void ask();
		document.addEventListener('visibilitychange', ask);
		return () => {
			over = true;
			document.removeEventListener('visibilitychange', ask);
			void lock?.release();
		};
	}, [running]);
}

const TONES = [0, 0.28, 0.56] as const;

/** Three short tones whenever `call` turns true and sound is on. */
export function useCallTone(call: boolean, on: boolean): void {
	const sound = useRef<AudioContext | null>(null);
	useEffect(() => {
		if (!call || !on) return;
		sound.current ??= new AudioContext();
		const { currentTime, destination } = sound.current;
		for (const after of TONES) {
			const tone = sound.current.createOscillator();
			tone.frequency.value = 880;
			tone.connect(destination);
			tone.start(currentTime + after);
			tone.stop(currentTime + after + 0.18);
		}
	}, [call, on]);
}
