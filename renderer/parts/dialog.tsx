import { Button, Modal } from '@mantine/core';
import type { ReactNode } from 'react';

/** A sheet over the page: keeps the focus, closes with Escape, gives the focus back. What it shows starts fresh each time. */
export function Dialog(props: {
	readonly title: string;
	readonly opened: boolean;
	readonly onClose: () => void;
	readonly size?: 'narrow' | 'wide' | 'widest';
	readonly children: ReactNode;
}) {
	const width = { narrow: 560, wide: 900, widest: 1240 }[props.size ?? 'narrow'];
	return (
		<Modal
			opened={props.opened}
			onClose={props.onClose}
			title={props.title}
			size={width}
			closeOnClickOutside={false}
			attributes={{ header: { role: 'none' } }}
			closeButtonProps={{ 'aria-label': 'Close', size: 48 }}
		>
			{props.children}
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
