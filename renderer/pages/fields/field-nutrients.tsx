import { Button } from '@mantine/core';
import { useState } from 'react';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import type { NutrientLimit, FieldNutrients as Nutrients } from '../../../shared/contract/limits.ts';
import { cropOfEppoCode } from '../../../shared/core/crops/eppo-crop.ts';
import { nutrientNames, nutrientWords } from '../../../shared/core/products/nutrient.ts';
import { capital, count, figure } from '../../format.ts';
import { ShareBar } from '../../paper/share-bar.tsx';
import { Answered } from '../../parts/page.tsx';
import { useUnits } from '../../units.ts';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { NutrientLimitDialog } from './nutrient-limit-dialog.tsx';

/** What the field was given of the nutrients this season, each beside the limits that are set for it. */
export function FieldNutrients({ detail }: { readonly detail: FieldDetail }) {
	const { id } = detail.field;
	const [opened, setOpened] = useState(false);
	const asked = useProcedure(['fields', id, 'nutrients'], (api) => api.limits.nutrients({ fieldId: id }));
	const end = useCommand((api, limitId: string, key) => api.limits.endNutrient({ key, id: limitId }));
	return (
		<>
			<div className="row spread">
				<h2>Nutrients this season</h2>
				{detail.retiredOn === null && (
					<Button className="screen-only" variant="subtle" size="xs" onClick={() => setOpened(true)}>
						Set a limit
					</Button>
				)}
			</div>
			<Answered asked={asked}>{(found) => <Given found={found} onEnd={end.run} />}</Answered>
			<NutrientLimitDialog detail={detail} opened={opened} onClose={() => setOpened(false)} />
		</>
	);
}

function Given({ found, onEnd }: { readonly found: Nutrients; readonly onEnd: (id: string) => void }) {
	const { say } = useUnits();
	const { given, planned, limits } = found;
	if (given.length === 0 && planned.length === 0 && limits.length === 0)
		return <p className="quiet">No product with nutrients on its books was brought out, and no limit is set.</p>;
	const free = given.filter(({ nutrient }) => !limits.some((limit) => limit.nutrient === nutrient && limit.applies));
	const held = limits.filter(({ applies }) => applies);
	const resting = limits.filter(({ applies }) => !applies);
	return (
		<>
			{held.length + free.length > 0 && (
				<ul className="plain-list nutrients">
					{held.map((limit) => (
						<Limited key={limit.id} limit={limit} onEnd={onEnd} />
					))}
					{free.map(({ nutrient, kgPerHa }) => (
						<li key={nutrient}>
							<span>
								<b>{capital(nutrientNames[nutrient])}</b> {say(kgWords(kgPerHa, nutrient))}
								<span className="quiet small">no limit is set for it</span>
							</span>
						</li>
					))}
				</ul>
			)}
			{planned.length > 0 && <p className="quiet">Open jobs are to bring {say(nutrientWords(planned) ?? '')}.</p>}
			{resting.length > 0 && <Resting limits={resting} onEnd={onEnd} />}
		</>
	);
}

/** Limits of crops that do not grow there now: they count nothing, so they wait behind their number. */
function Resting({
	limits,
	onEnd,
}: {
	readonly limits: readonly NutrientLimit[];
	readonly onEnd: (id: string) => void;
}) {
	return (
		<details className="quiet">
			<summary>{count(limits.length, 'limit')} of crops that do not grow here now</summary>
			<ul className="plain-list nutrients">
				{limits.map((limit) => (
					<Limited key={limit.id} limit={limit} onEnd={onEnd} />
				))}
			</ul>
		</details>
	);
}

function Limited({ limit, onEnd }: { readonly limit: NutrientLimit; readonly onEnd: (id: string) => void }) {
	const { nutrient, maxKgPerHa, usedKgPerHa, per, crop, source, fromMemory, warnsOnly } = limit;
	const { say } = useUnits();
	const most = say(`${figure(maxKgPerHa, decimals(maxKgPerHa))} kg ${nutrient}/ha`);
	const set = [
		`per ${per}`,
		source,
		fromMemory ? 'from memory' : null,
		fromMemory || warnsOnly ? 'warns' : 'stops a plan',
	];
	return (
		<li>
			{limit.applies ? (
				<span>
					<b>{capital(nutrientNames[nutrient])}</b> {say(kgWords(usedKgPerHa, nutrient))}, at most {most}
					{usedKgPerHa !== null && maxKgPerHa > 0 && <ShareBar share={(100 * usedKgPerHa) / maxKgPerHa} />}
					<span className="quiet small">{set.filter((part) => part !== null).join(' · ')}</span>
				</span>
			) : (
				<span className="quiet small">
					{capital(nutrientNames[nutrient])} at most {most} while {cropName(crop)} grows, {source}
				</span>
			)}
			<Button
				className="screen-only"
				variant="subtle"
				size="xs"
				aria-label={`Take off the limit of ${most}`}
				onClick={() => onEnd(limit.id)}
			>
				Take off
			</Button>
		</li>
	);
}

/** A limit names its crop as the field did: by its EPPO code where it has one. */
function cropName(crop: string | null): string {
	const name = crop && cropOfEppoCode(crop);
	return name ? name.toLowerCase() : (crop ?? '');
}

function kgWords(kg: number | null, nutrient: string): string {
	return kg === null ? 'not known, a content is not on the books' : `${figure(kg, decimals(kg))} kg ${nutrient}/ha`;
}

/** Whole kilograms as they are, others to the tenth. */
function decimals(kg: number): number {
	return Number.isInteger(kg) ? 0 : 1;
}
