import { Button } from '@mantine/core';
import { useState } from 'react';
import type { WashingsAhead } from '../../../shared/contract/jobs-washings.ts';
import { shortDate } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { AddPick } from './add-pick.tsx';
import type { GroundLine } from './washings-draft.ts';
import { WashingsPart, type WashingsPlace } from './washings-part.tsx';
import { roomWords } from './washings-words.ts';

type Room = WashingsAhead['fields'][number];

/** Onto which ground washings went, each field with the room its doses leave. */
export function WashingsGround(props: {
	readonly ground: readonly GroundLine[];
	readonly rooms: readonly Room[];
	readonly onChange: (ground: readonly GroundLine[]) => void;
}) {
	const farmUnits = useUnits();
	const { ground, rooms, onChange } = props;
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const nameOf = new Map(fields.answer?.map(({ id, name }) => [id, name]));
	const [drawing, setDrawing] = useState<string | null>(null);
	const isDrawable = new Set(fields.answer?.filter(({ perimeterM }) => perimeterM !== null).map(({ id }) => id));
	const set = (fieldId: string, part: WashingsPlace) =>
		onChange(ground.map((line) => (line.fieldId === fieldId ? placedAt(line, part) : line)));
	const others = (fields.answer ?? []).filter(({ id }) => !ground.some(({ fieldId }) => fieldId === id));
	return (
		<div className="washings-ground">
			{ground.map((line) => {
				const room = rooms.find(({ fieldId }) => fieldId === line.fieldId);
				const name = room?.field ?? nameOf.get(line.fieldId) ?? 'Field';
				return (
					<div key={line.fieldId} className="washings-line">
						<div>
							<b>{name}</b>
							<span className="second quiet small">
								{room && (room.crop ?? 'crop not entered')}
								{room && room.sprayedHa > 0 && `, ${farmUnits.area(room.sprayedHa)} sprayed`}
							</span>
						</div>
						<QuantityInput
							label={<span className="visually-hidden">Washings on {name}</span>}
							unit="ha"
							min={0}
							placeholder="0"
							value={line.areaHa}
							onChange={(areaHa) => set(line.fieldId, { areaHa })}
						/>
						<Pick
							label={<span className="visually-hidden">Over which ground on {name}</span>}
							options={[
								{ value: 'sprayed ground', label: 'over sprayed ground' },
								{ value: 'unsprayed ground', label: 'on unsprayed ground' },
								...(room?.otherJobs ?? []).map(({ jobId, job, on }) => ({
									value: jobId,
									label: `over ground of ${job}, ${shortDate(on)}`,
								})),
							]}
							value={line.onJobId ?? line.over}
							onChange={(chosen) => chosen && set(line.fieldId, overOf(chosen))}
						/>
						<div className="small">{room && <RoomOf room={room} />}</div>
						{isDrawable.has(line.fieldId) && (
							<div className="washings-part">
								{drawing === line.fieldId ? (
									<WashingsPart
										fieldId={line.fieldId}
										ground={line.ground}
										onChange={(part) => set(line.fieldId, part)}
										onClose={() => setDrawing(null)}
									/>
								) : (
									<Button
										size="compact-sm"
										px={0}
										variant="subtle"
										aria-label={`${line.ground ? 'Change' : 'Show'} on the map where on ${name}`}
										onClick={() => setDrawing(line.fieldId)}
									>
										{line.ground ? 'Drawn on the map: change it' : 'Show on the map where'}
									</Button>
								)}
							</div>
						)}
					</div>
				);
			})}
			{others.length > 0 && (
				<AddPick
					label="Another field"
					options={others.map(({ id, name }) => ({ value: id, label: name }))}
					nothingFound="No field of that name"
					onAdd={(fieldId) => onChange([...ground, { fieldId, areaHa: null, over: 'unsprayed ground' }])}
				/>
			)}
		</div>
	);
}

/** What is picked is a kind of ground, or another job by its id. */
function overOf(chosen: string): WashingsPlace {
	if (chosen === 'sprayed ground' || chosen === 'unsprayed ground') return { over: chosen, onJobId: undefined };
	return { over: 'sprayed ground', onJobId: chosen };
}

function placedAt(line: GroundLine, part: WashingsPlace): GroundLine {
	const next = { ...line, ...part };
	const { onJobId, ground, ...others } = next;
	return { ...others, ...(onJobId ? { onJobId } : {}), ...(ground ? { ground } : {}) };
}

function RoomOf({ room }: { readonly room: Room }) {
	const farmUnits = useUnits();
	const { enough, strips } = room;
	const words = roomWords(room, room.over === 'sprayed ground' ? room.sprayedHa : Number.POSITIVE_INFINITY, farmUnits);
	return (
		<>
			{enough !== null && (
				<span className={enough ? 'chip plain' : 'chip stop'}>{enough ? 'enough by the books' : 'too little'}</span>
			)}{' '}
			{words}
			{strips.length > 0 && <span className="second quiet">Keep off: {strips.join(', ')}</span>}
		</>
	);
}
