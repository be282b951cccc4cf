import { Button } from '@mantine/core';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { ProblemNotice } from '../../parts/problem-notice.tsx';
import { useCommand } from '../../use-procedure.ts';

type Props = { readonly detail: FieldDetail; readonly strip: FieldDetail['strips'][number] };

/** A strip that was noted for another boundary says so: its area may be wrong. */
export function StripName({ detail, strip }: Props) {
	if (strip.look === undefined) return strip.label;
	return (
		<>
			{strip.label} <span className="chip">look at this</span>
			<span className="second">
				The boundary was drawn anew and {strip.look}. Keep it as it stands, or take it off and add it again.
			</span>
			{detail.retiredOn === null && <KeepStrip detail={detail} strip={strip} />}
		</>
	);
}

function KeepStrip({ detail, strip }: Props) {
	const keep = useCommand((api, _: undefined, key) =>
		api.fields.keepStrip({ key, id: detail.field.id, stripId: strip.id }),
	);
	return (
		<>
			<Button
				className="screen-only"
				variant="subtle"
				size="xs"
				px={0}
				aria-label={`Keep ${strip.label} as it stands`}
				loading={keep.busy}
				onClick={() => keep.run(undefined)}
			>
				Keep it as it stands
			</Button>
			<ProblemNotice problem={keep.problem} />
		</>
	);
}
