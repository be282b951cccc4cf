import { Button } from '@mantine/core';

/** What was drawn before the page was left stands on the map again; it is gone on with, or thrown away. */
export function DrawnBefore({ onBeginAnew }: { readonly onBeginAnew: () => void }) {
	return (
		<div className="notice" role="status">
			<span className="word">Kept</span>
			<div className="stack tight">
				<span>What you had drawn is still here: go on where you were.</span>
				<div>
					<Button variant="default" size="xs" onClick={onBeginAnew}>
						Begin anew
					</Button>
				</div>
			</div>
		</div>
	);
}
