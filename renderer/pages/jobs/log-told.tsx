import { TextInput } from '@mantine/core';
import { useState } from 'react';
import { InFlower } from '../../parts/in-flower.tsx';
import type { LogDraft } from './log-draft.ts';

type Props = {
	readonly draft: LogDraft;
	/** A label of the job keeps off flowers: then it is asked in the open. */
	readonly asked: boolean;
	readonly onChange: (part: Partial<LogDraft>) => void;
};

/** What was in flower and who was told before: kept with the records, folded away where no label asks. */
export function LogTold({ draft, asked, onChange }: Props) {
	const [said] = useState((draft.flowering !== '' && !asked) || draft.told !== '');
	const flower = (
		<InFlower
			value={draft.flowering}
			description={asked && 'A label of this job keeps off the flowers of both: look before it begins'}
			onChange={(flowering) => onChange({ flowering })}
		/>
	);
	return (
		<>
			{asked && (
				<>
					<h2>Crop and weeds</h2>
					<div className="stack">{flower}</div>
				</>
			)}
			<details className="above-small" open={said}>
				<summary>{asked ? 'Neighbours and beekeepers told' : 'In flower, neighbours and beekeepers told'}</summary>
				<div className="stack">
					{!asked && flower}
					<TextInput
						label="Who was told"
						description="Neighbours, beekeepers; how and when"
						maxLength={300}
						value={draft.told}
						onChange={(event) => onChange({ told: event.currentTarget.value })}
					/>
				</div>
			</details>
		</>
	);
}
