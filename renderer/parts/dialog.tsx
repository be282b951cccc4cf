import { Button, Modal } from '@mantine/core';
import { type KeyboardEvent, type ReactNode, useCallback, useEffect, useRef, useState } from 'react';

/**
 * A sheet over the page: keeps the focus, closes with Escape, gives the focus back. What it shows starts fresh each time.
 * Out of a long form that was typed into, Escape goes to the closing cross first: one slip loses nothing.
 */
export function Dialog(props: {
	readonly title: string;
	readonly opened: boolean;
	readonly onClose: () => void;
	readonly size?: 'narrow' | 'wide' | 'widest';
	readonly children: ReactNode;
}) {
	const [typed, setTyped] = useState(false);
	const { opened, size = 'narrow' } = props;
	useEffect(() => {
		if (opened) setTyped(false);
	}, [opened]);
	const holds = typed && size !== 'narrow';

	const held = useRef<HTMLDivElement>(null);

	const goToCross = useCallback(() => {
		setTyped(false);
		held.current?.closest('[role="dialog"]')?.querySelector<HTMLElement>('.dialog-close')?.focus();
	}, []);

	function leave(event: KeyboardEvent<HTMLDivElement>): void {
		const list = (event.target as Element).getAttribute('data-mantine-stop-propagation') === 'true';
		if (event.key === 'Escape' && holds && !list) goToCross();
	}

	// What had the focus may be gone with the step it belonged to.
	useEffect(() => {
		if (!opened || !holds) return;
		const astray = (event: globalThis.KeyboardEvent) => {
			if (event.key === 'Escape' && event.target === document.body) goToCross();
		};
		window.addEventListener('keydown', astray);
		return () => window.removeEventListener('keydown', astray);
	}, [opened, holds, goToCross]);

	const width = { narrow: 560, wide: 900, widest: 1240 }[size];
	return (
		<Modal
			opened={opened}
			onClose={props.onClose}
			title={props.title}
			size={width}
			closeOnClickOutside={false}
			closeOnEscape={!holds}
			attributes={{ header: { role: 'none' } }}
			closeButtonProps={{ 'aria-label': 'Close', size: 48 }}
		>
			{/* biome-ignore lint/a11y/noStaticElementInteractions: only listens to what its entries do */}
			<div
				ref={held}
				className="dialog-held"
				onInput={({ target }) => (target as HTMLInputElement).type !== 'file' && setTyped(true)}
				onKeyDown={leave}
			>
				{props.children}
			</div>
		</Modal>
	);
}

/** Asks before something that cannot be taken back by closing a window. The safe answer has the focus. */
export function Confirm(props: {
	readonly opened: boolean;
	readonly title: string;
	readonly children: ReactNode;
	/** What the button does, in words: "Reverse the delivery". */
	readonly action: string;
	readonly onConfirm: () => void;
	readonly onClose: () => void;
	readonly busy?: boolean;
	readonly danger?: boolean;
}) {
	return (
		<Dialog title={props.title} opened={props.opened} onClose={props.onClose}>
			<div className="stack">
				<div>{props.children}</div>
				<div className="form-foot">
					<Button variant="default" onClick={props.onClose} data-autofocus>
						Leave it
					</Button>
					<Button variant={props.danger ? 'danger' : 'filled'} loading={props.busy ?? false} onClick={props.onConfirm}>
						{props.action}
					</Button>
				</div>
			</div>
		</Dialog>
	);
}
