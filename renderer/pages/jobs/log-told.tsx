import { TextInput } from '@mantine/core';
import { useState } from 'react';
import type { LogDraft } from './log-draft.ts';

type Props = { readonly draft: LogDraft; readonly onChange: (part: Partial<LogDraft>) => void };

/** What was in flower and who was told before: kept with the records, and asked for by no load that needs neither. */
export function LogTold({ draft, onChange }: Props) {
	const [said] = useState(draft.flowering !== '' || draft.told !== '');
	return (
		<details className="above-small" open={said}>
			<summary>In flower, neighbours and beekeepers told</summary>
			<div className="stack">
				<TextInput
					label="In flower"
					description="Crop, weeds or nothing"
					maxLength={60}
					value={draft.flowering}
					onChange={(event) => onChange({ flowering: event.currentTarget.value })}
				/>
				<TextInput
					label="Who was told"
					description="Neighbours, beekeepers; how and when"
					maxLength={300}
					value={draft.told}
					onChange={(event) => onChange({ told: event.currentTarget.value })}
				/>
			</div>
		</details>
	);
}
