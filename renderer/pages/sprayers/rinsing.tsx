import { useDebouncedValue } from '@mantine/hooks';
import { useState } from 'react';
import type { Sprayer } from '../../../shared/contract/sprayers.ts';
import { figure } from '../../format.ts';
import { Facts } from '../../parts/page.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';

/** How much weaker the rest in the sprayer is after rinsing, and the water a wanted factor takes. */
export function Rinsing({ sprayer }: { readonly sprayer: Sprayer }) {
	const { say } = useUnits();
	const [residualL, setResidualL] = useState<number | null>(sprayer.unsprayableL > 0 ? sprayer.unsprayableL : null);
	const [rinses, setRinses] = useState<number | null>(3);
	const [eachL, setEachL] = useState<number | null>(100);
	const [target, setTarget] = useState<number | null>(null);
	const [asked] = useDebouncedValue({ residualL, rinses, eachL, target }, 250);
	const ready = asked.residualL !== null && asked.rinses !== null && asked.eachL !== null;
	const sum = useProcedure(
		['rinse', asked],
		(api) =>
			api.sprayers.rinse({
				residualL: asked.residualL ?? 0,
				rinsesL: Array.from({ length: asked.rinses ?? 0 }, () => asked.eachL ?? 0),
				...(asked.target === null ? {} : { targetFactor: asked.target }),
			}),
		{ enabled: ready, keepPrevious: true },
	);
	return (
		<>
			<h2>Rinsing out</h2>
			<div className="stack">
				<QuantityInput label="Left in the sprayer" unit="L" min={0.000001} value={residualL} onChange={setResidualL} />
				<QuantityInput label="Rinses" whole min={1} max={20} value={rinses} onChange={setRinses} />
				<QuantityInput label="Clean water each" unit="L" min={0.01} value={eachL} onChange={setEachL} />
				<QuantityInput
					label="Wanted"
					description="How many times weaker; may stay empty"
					unit="times"
					min={1.01}
					value={target}
					onChange={setTarget}
				/>
				<div aria-live="polite">
					<ProblemNotice problem={sum.problem} />
					{ready && sum.answer && (
						<>
							<p className="big-figure tank">1 / {figure(sum.answer.factor, sum.answer.factor < 100 ? 1 : 0)}</p>
							<p className="quiet">of what was there is left, fully mixed each time.</p>
							<Facts
								items={[
									sum.answer.rinsesForTarget !== undefined && [
										'Rinses for the wanted',
										figure(sum.answer.rinsesForTarget),
									],
									sum.answer.waterPerRinseForTargetL !== undefined && [
										'or water each',
										say(`${figure(sum.answer.waterPerRinseForTargetL)} L`),
									],
								]}
							/>
						</>
					)}
				</div>
				<p className="quiet small">
					The figure informs; it proves nothing clean. Washings go only on ground where they are allowed and the dose
					leaves room.
				</p>
			</div>
		</>
	);
}
