import { Checkbox, TextInput } from '@mantine/core';
import type { SpaceUnit } from '../../../shared/core/loads/closed-space.ts';
import { quantityWords } from '../../held-words.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import type { Rest } from './job-words.ts';
import { type LogDraft, type SpaceDone, treatedIn } from './log-draft.ts';

/** The head over them, as it is named elsewhere. */
export function spacesHeading(spaces: LogDraft['spaces']): string {
	return spaces.length > 1 ? 'Closed spaces treated' : 'Closed space treated';
}

/** The closed spaces that were treated, filled in as planned. */
export function LogSpaces(props: {
	readonly unit: SpaceUnit;
	readonly planned: Rest['spaces'];
	readonly draft: LogDraft;
	readonly onChange: (part: Partial<LogDraft>) => void;
}) {
	const { unit, planned, draft, onChange } = props;
	const set = (spaceId: string, part: Partial<SpaceDone>) =>
		onChange({ spaces: draft.spaces.map((line) => (line.spaceId === spaceId ? { ...line, ...part } : line)) });
	const total = planned.reduce((sum, { amount }) => sum + amount, 0);
	const now = draft.spaces.reduce((sum, line) => sum + treatedIn(line, planned), 0);
	return (
		<>
			<h2>{spacesHeading(draft.spaces)}</h2>
			<div className="log-ground">
				{draft.spaces.map((line) => {
					const { name = 'Closed space', amount = 0 } = planned.find(({ spaceId }) => spaceId === line.spaceId) ?? {};
					return (
						<div className="log-field" key={line.spaceId}>
							<QuantityInput
								label={name}
								unit={unit}
								required
								min={0}
								description={`planned ${quantityWords(amount, unit)}`}
								value={line.amount === 'plan' ? amount : line.amount}
								onChange={(value) => set(line.spaceId, { amount: value === amount ? 'plan' : value })}
							/>
							{draft.ownTimes && (
								<div className="pair">
									<TextInput
										type="time"
										label={`Began, ${name}`}
										value={line.began}
										onChange={(event) => set(line.spaceId, { began: event.currentTarget.value })}
									/>
									<TextInput
										type="time"
										label={`Ended, ${name}`}
										value={line.ended}
										onChange={(event) => set(line.spaceId, { ended: event.currentTarget.value })}
									/>
								</div>
							)}
						</div>
					);
				})}
			</div>
			{draft.spaces.length > 1 && (
				<>
					<p className="quiet above-small" role="status">
						Together {quantityWords(now, unit)} of {quantityWords(total, unit)} planned. A space that was not treated
						stands at 0.
					</p>
					<div className="log-more">
						<Checkbox
							label="Each space with its own times"
							checked={draft.ownTimes}
							onChange={(event) => onChange({ ownTimes: event.currentTarget.checked })}
						/>
					</div>
				</>
			)}
		</>
	);
}
