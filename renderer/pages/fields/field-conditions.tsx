import { capital } from '../../format.ts';
import { HoldsPick } from '../../parts/holds-pick.tsx';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Said = { readonly condition: string; readonly holds: boolean | null };

/** Conditions of the ground that labels on the books name, each answered once for this field. */
export function FieldConditions({ fieldId }: { readonly fieldId: string }) {
	const asked = useProcedure(['fields', fieldId, 'conditions'], (api) => api.limits.conditions({ fieldId }));
	const answer = useCommand((api, { condition, holds }: Said, key) =>
		api.limits.answerCondition({ key, condition, fields: [{ fieldId, holds }] }),
	);
	const conditions = asked.answer ?? [];
	if (conditions.length === 0) return null;
	return (
		<>
			<h2>Ground in the words of labels</h2>
			<ProblemNotice problem={answer.problem} />
			<div className="pair">
				{conditions.map(({ condition, holds, products }) => (
					<HoldsPick
						key={condition}
						label={capital(condition)}
						description={products.length > 0 ? `Label of ${products.join(', ')}` : 'No label on the books asks now'}
						value={holds}
						onChange={(next) => answer.run({ condition, holds: next })}
					/>
				))}
			</div>
		</>
	);
}
