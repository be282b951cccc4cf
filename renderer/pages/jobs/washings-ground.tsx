import type { WashingsAhead } from '../../../shared/contract/jobs-washings.ts';
import { hectares } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { AddPick } from './add-pick.tsx';
import type { GroundLine } from './washings-draft.ts';
import { roomWords } from './washings-words.ts';

type Room = WashingsAhead['fields'][number];

/** Onto which ground washings went, each field with the room its doses leave. */
export function WashingsGround(props: {
	readonly ground: readonly GroundLine[];
	readonly rooms: readonly Room[];
	readonly onChange: (ground: readonly GroundLine[]) => void;
}) {
	const { ground, rooms, onChange } = props;
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const nameOf = new Map(fields.answer?.map(({ id, name }) => [id, name]));
	const set = (fieldId: string, part: Partial<GroundLine>) =>
		onChange(ground.map((line) => (line.fieldId === fieldId ? { ...line, ...part } : line)));
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
								{room && room.sprayedHa > 0 && `, ${hectares(room.sprayedHa)} ha sprayed`}
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
						<Pick<GroundLine['over']>
							label={<span className="visually-hidden">Over which ground on {name}</span>}
							options={[
								{ value: 'sprayed ground', label: 'over sprayed ground' },
								{ value: 'unsprayed ground', label: 'on unsprayed ground' },
							]}
							value={line.over}
							onChange={(over) => over && set(line.fieldId, { over })}
						/>
						<div className="small">{room && <RoomOf room={room} />}</div>
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

function RoomOf({ room }: { readonly room: Room }) {
	const { enough, strips } = room;
	const words = roomWords(room, room.over === 'sprayed ground' ? room.sprayedHa : Number.POSITIVE_INFINITY);
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
