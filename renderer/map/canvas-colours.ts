/** Colours of the page for a canvas, which cannot read custom properties itself. */
export type CanvasColours = {
	readonly ink: string;
	readonly quiet: string;
	readonly loam: string;
	readonly loamTint: string;
	readonly water: string;
	readonly damson: string;
	readonly straw: string;
	readonly brick: string;
	readonly rule: string;
	readonly leaf: string;
	readonly paper: string;
};

/** Reads the tokens as they are now: by day, by night or on paper. */
export function canvasColours(host: HTMLElement): CanvasColours {
	const probe = document.createElement('span');
	host.append(probe);
	const read = (token: string) => {
		probe.style.color = `var(--${token})`;
		return getComputedStyle(probe).color;
	};
	const colours = {
		ink: read('ink'),
		quiet: read('quiet'),
		loam: read('loam'),
		loamTint: read('loam-tint'),
		water: read('water'),
		damson: read('damson'),
		straw: read('straw'),
		brick: read('brick'),
		rule: read('rule-strong'),
		leaf: read('leaf'),
		paper: read('sheet'),
	};
	probe.remove();
	return colours;
}
