import type { SowingWait } from '../../../shared/contract/limits.ts';
import { longDate } from '../../format.ts';
import { useProcedure } from '../../use-procedure.ts';

/** What the labels of earlier treatments keep off the field until a day, or as the next crop. Nothing is said where nothing is. */
export function FieldFollowing({ fieldId }: { readonly fieldId: string }) {
	const { answer } = useProcedure(['fields', fieldId, 'following'], (api) => api.limits.following({ fieldId }));
	if (!answer || answer.length === 0) return null;
	return <SowingWaits waits={answer} />;
}

/** Waits before the next crop, those first that a crop on the books does not keep. */
export function SowingWaits({ waits }: { readonly waits: readonly SowingWait[] }) {
	const inOrder = waits.toSorted((a, b) => Number(b.tooEarly !== null) - Number(a.tooEarly !== null));
	return (
		<ul className="plain-list findings" aria-label="Before the next crop">
			{inOrder.map((wait) => (
				<li key={`${wait.product} ${wait.crops.join()}`}>
					<span className={wait.tooEarly ? 'chip' : 'chip plain'}>{wait.tooEarly ? 'look' : 'to keep'}</span>
					<span>
						{wait.tooEarly && `${cropWords(wait.tooEarly)} comes too early. `}
						{wait.say}{' '}
						<span className="quiet small">
							{wait.product} on {longDate(wait.treatedOn)} · {wait.source}
							{wait.fromMemory && ' · from memory: check the label'}
						</span>
					</span>
				</li>
			))}
		</ul>
	);
}

function cropWords({ crop, season, sownOn }: NonNullable<SowingWait['tooEarly']>): string {
	return sownOn === null ? `${crop} for harvest ${season}` : `${crop}, sown ${longDate(sownOn)},`;
}
