import { Button } from '@mantine/core';
import { Link, useLocation } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { longDate } from '../../format.ts';
import { mapField } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { leftOutLooks } from '../../map/looks.tsx';
import { MapLegend } from '../../map/map-legend.tsx';
import { useUnits } from '../../units.ts';

/** The field's ground on the map, what can be done to it, and what it was and became. */
export function FieldGround({ detail, onMerge }: { readonly detail: FieldDetail; readonly onMerge: () => void }) {
	const { area } = useUnits();
	const [, go] = useLocation();
	const { field, geometry, strips } = detail;
	const laid = strips.flatMap((strip) => (strip.geometry ? [{ ...strip, geometry: strip.geometry }] : []));
	return (
		<>
			{geometry ? (
				<div>
					<FieldMap
						label={`Map of ${field.name}`}
						height={360}
						measures
						fields={[
							mapField({ id: field.id, name: field.name, geometry }, `${area(field.measuredHa)} measured`),
							...laid.map((strip) =>
								mapField(
									{ id: strip.id, name: strip.label, geometry: strip.geometry },
									`${strip.kind}, ${area(strip.areaHa)} not sprayed`,
									leftOutLooks[strip.kind].look,
								),
							),
						]}
					/>
					<MapLegend
						entries={Object.entries(leftOutLooks).flatMap(([kind, { look, text }]) =>
							laid.some((strip) => strip.kind === kind) ? [{ shade: look, text }] : [],
						)}
					/>
				</div>
			) : (
				<p className="quiet">
					This field has no boundary yet. Bring one in from Fields, where it is matched by code or name, or{' '}
					<Link href={`/fields/${field.id}/boundary`}>draw it on the map</Link>.
				</p>
			)}
			{geometry && detail.retiredOn === null && (
				<div className="row screen-only above">
					<Button variant="default" size="sm" onClick={() => go(`/fields/${field.id}/boundary`)}>
						Mend the boundary
					</Button>
					<Button variant="default" size="sm" onClick={() => go(`/fields/${field.id}/strip`)}>
						Lay a strip
					</Button>
					<Button variant="default" size="sm" onClick={() => go(`/fields/${field.id}/obstacle`)}>
						Draw an obstacle
					</Button>
					<Button
						variant="default"
						size="sm"
						disabled={detail.openJob !== null}
						onClick={() => go(`/fields/${field.id}/split`)}
					>
						Split
					</Button>
					<Button variant="default" size="sm" disabled={detail.openJob !== null} onClick={onMerge}>
						Merge
					</Button>
				</div>
			)}
			{geometry && detail.retiredOn === null && detail.openJob !== null && (
				<p className="quiet small screen-only above">{untilClosed(detail.openJob)}</p>
			)}
			<Descent detail={detail} />
		</>
	);
}

/** Why a field is not split or merged now. */
export function untilClosed(job: string): string {
	return `In the open job “${job}”: it can be split or merged once the job is closed or withdrawn, as its records name this field.`;
}

/** Under which names this ground was and is farmed. */
function Descent({ detail }: { readonly detail: FieldDetail }) {
	const { area } = useUnits();
	const lines = [
		...detail.cameFrom.map((field) => ({ ...field, says: field.kind === 'split' ? 'Split from' : 'Merged from' })),
		...detail.wentTo.map((field) => ({ ...field, says: field.kind === 'split' ? 'Split into' : 'Merged into' })),
	];
	if (lines.length === 0) return null;
	return (
		<>
			<h2>The ground before and since</h2>
			{lines.map((field) => (
				<p key={field.id}>
					{field.says} <Link href={`/fields/${field.id}`}>{field.name}</Link>
					<span className="quiet">
						, {longDate(field.on)}, {area(field.sharedHa)}
					</span>
				</p>
			))}
			<p className="quiet small">What was sprayed and its limits follow the ground.</p>
		</>
	);
}
