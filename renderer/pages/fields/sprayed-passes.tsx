import { Button } from '@mantine/core';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { figure } from '../../format.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useCommand } from '../../use-procedure.ts';
import { useLastVolume } from './use-last-volume.ts';

export type Proposal = { readonly areaHa: number; readonly why: string };

/** What the sprayer's own areas say of the field; a better figure is proposed, and the user decides. */
export function SprayedPasses(props: {
	readonly detail: FieldDetail;
	readonly onAccept: (proposal: Proposal) => void;
}) {
	const { sprayed, field } = props.detail;
	const volume = useLastVolume();
	const units = useUnits();
	if (!sprayed) return null;
	const areaHa = Math.round(sprayed.meanHa * 100) / 100;
	const spread =
		sprayed.spreadHa === null ? null : <p className="quiet small">Single passes: ± {units.area(sprayed.spreadHa)}.</p>;
	if (sprayed.verdict !== 'propose' && sprayed.verdict !== 'apart') {
		return (
			<>
				<p className="above">{units.say(sprayed.say)}</p>
				{spread}
			</>
		);
	}
	return (
		<div className="notice above">
			<span className="word">Look</span>
			<div>
				<p>{units.say(sprayed.say)}</p>
				{spread}
				{sprayed.verdict === 'propose' && <p className="small">{inMix(areaHa, field.loadForHa, { volume, units })}</p>}
				{sprayed.verdict === 'propose' && (
					<Button
						className="screen-only"
						mt={8}
						variant="default"
						onClick={() => props.onAccept({ areaHa, why: sprayed.say.replace(/\.$/, '') })}
					>
						Load for {units.area(areaHa)}?
					</Button>
				)}
			</div>
		</div>
	);
}

/** `At 200 L/ha, 12 L of mix less than for 9.82 ha.` */
function inMix(
	areaHa: number,
	loadForHa: number | null,
	{ volume, units }: { readonly volume: number | null; readonly units: Units },
): string {
	if (loadForHa === null || volume === null) return '';
	const apart = (areaHa - loadForHa) * volume;
	const amount = units.volume(Math.round(Math.abs(apart)));
	const rate = units.say(`${figure(volume)} L/ha`);
	return `At ${rate}, ${amount} of mix ${apart < 0 ? 'less' : 'more'} than for ${units.area(loadForHa)}.`;
}

/** Marks a reported area as machine area, or takes the mark off. */
export function OverlapMark(props: {
	readonly fieldId: string;
	readonly measurement: FieldDetail['measurements'][number];
}) {
	const { fieldId, measurement } = props;
	const mark = useCommand((api, withOverlap: boolean, key) =>
		api.fields.setOverlap({ key, id: fieldId, measurementId: measurement.id, withOverlap }),
	);
	const machine = measurement.kind === 'machine';
	return (
		<>
			<Button
				className="screen-only"
				variant="subtle"
				size="xs"
				px={0}
				loading={mark.busy}
				onClick={() => mark.run(!machine)}
			>
				{machine ? 'Count it as treated ground' : 'Keep apart: the counter adds overlap'}
			</Button>
			<ProblemNotice problem={mark.problem} />
		</>
	);
}
