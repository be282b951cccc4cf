import { Button, TextInput } from '@mantine/core';
import { type PointerEvent, useRef, useState } from 'react';
import type { Store } from '../../../shared/contract/store-list.ts';
import { type PlanPartKind, planPartKinds } from '../../../shared/core/store/store-plan.ts';
import { EntryForm } from '../../parts/page.tsx';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { StorePlanPicture } from '../../pictures/store-plan.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';

type Plan = NonNullable<Store['plan']>;
type Part = Plan['parts'][number];
type Grip = { readonly from: readonly [number, number]; readonly part: Part | null; readonly at: number };

const STEP_M = 0.1;
const LEAST_M = 0.2;
const blank: Plan = { widthM: 5, depthM: 3, parts: [] };

/** The plan of the building: drawn with the pointer or keyed in metres, both at once. */
export function PlanEditor({ site, onClose }: { readonly site: Store; readonly onClose: () => void }) {
	const [plan, setPlan] = useState<Plan>(site.plan ?? blank);
	const [chosen, setChosen] = useState<number | null>(null);
	const products = useProcedure(['products'], (api) => api.products.list({})).answer ?? [];
	const places = [...new Set(products.flatMap(({ place }) => (place ? [place] : [])))].sort();
	const { storeId, version, place, contacts, bundL, sensitive } = site;
	const save = useCommand(
		(api, next: Plan | null, key) =>
			api.store.saveSite({ key, storeId, version, place, contacts, bundL, sensitive, plan: next }),
		onClose,
	);
	const change = (at: number, part: Partial<Part>) =>
		setPlan({ ...plan, parts: plan.parts.map((each, index) => (index === at ? { ...each, ...part } : each)) });
	const add = (part: Part) => {
		setPlan({ ...plan, parts: [...plan.parts, part] });
		setChosen(plan.parts.length);
	};
	const later = (at: number) => {
		const parts = [...plan.parts];
		const [part] = parts.splice(at, 1);
		if (part) parts.splice(at + 1, 0, part);
		setPlan({ ...plan, parts });
		setChosen(at + 1);
	};
	return (
		<EntryForm
			command={save}
			onSubmit={() => save.run(plan)}
			foot={
				<>
					{site.plan && (
						<Button variant="subtle" onClick={() => save.run(null)}>
							Take the plan off
						</Button>
					)}
					<Button variant="default" onClick={onClose}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						Save the plan
					</Button>
				</>
			}
		>
			<div className="plan-editor">
				<div>
					<Drawing plan={plan} places={places} chosen={chosen} onChoose={setChosen} onAdd={add} onMove={change} />
					<p className="quiet small">
						Draw a rectangle for each shelf, in the order you walk along them, then the door, the bund and what is
						needed in an emergency. Drag one to move it.
					</p>
				</div>
				<div className="stack tight">
					<div className="pair">
						<QuantityInput
							label="Width"
							unit="m"
							required
							min={0.5}
							max={200}
							value={plan.widthM}
							onChange={(widthM) => widthM && setPlan({ ...plan, widthM })}
						/>
						<QuantityInput
							label="Depth"
							unit="m"
							required
							min={0.5}
							max={200}
							value={plan.depthM}
							onChange={(depthM) => depthM && setPlan({ ...plan, depthM })}
						/>
					</div>
					<ol className="plain-list plan-parts">
						{plan.parts.map((part, at) => (
							<li
								className="plan-part"
								// biome-ignore lint/suspicious/noArrayIndexKey: parts have no name of their own while they are drawn
								key={at}
								ref={chosen === at ? (line) => line?.scrollIntoView({ block: 'nearest' }) : undefined}
								data-chosen={chosen === at || undefined}
								onFocus={() => setChosen(at)}
							>
								<PartLine
									part={part}
									open={chosen === at}
									proposed={isProposed(part.label, places)}
									onChange={(next) => change(at, next)}
									onLater={at < plan.parts.length - 1 ? () => later(at) : undefined}
									onOff={() => {
										setPlan({ ...plan, parts: plan.parts.filter((_, index) => index !== at) });
										setChosen(null);
									}}
								/>
							</li>
						))}
					</ol>
					<div>
						<Button
							size="xs"
							variant="default"
							onClick={() =>
								add({
									kind: 'shelf',
									label: nextName(plan, places),
									xM: 0,
									yM: 0,
									widthM: Math.min(1, plan.widthM),
									depthM: 0.5,
								})
							}
						>
							Add one without drawing
						</Button>
					</div>
				</div>
			</div>
		</EntryForm>
	);
}

function PartLine(props: {
	readonly part: Part;
	readonly open: boolean;
	readonly onChange: (part: Partial<Part>) => void;
	readonly onLater: (() => void) | undefined;
	readonly onOff: () => void;
	/** The name is the one proposed for a shelf: it goes when the part is none. */
	readonly proposed: boolean;
}) {
	const { part, onChange } = props;
	const what = part.label || part.kind;
	const figure = (label: string, name: 'xM' | 'yM' | 'widthM' | 'depthM', min: number) => (
		<QuantityInput
			label={label}
			unit="m"
			min={min}
			value={part[name]}
			onChange={(value) => value !== null && onChange({ [name]: value })}
		/>
	);
	return (
		<>
			<div className="plan-line">
				<Pick<PlanPartKind>
					label="What"
					options={planPartKinds.map((kind) => ({ value: kind, label: kind }))}
					value={part.kind}
					onChange={(kind) => kind && onChange({ kind, ...(isPlace(kind) || !props.proposed ? {} : { label: '' }) })}
				/>
				<TextInput
					label="Name"
					maxLength={40}
					value={part.label}
					onChange={(event) => onChange({ label: event.currentTarget.value })}
				/>
				{props.onLater && (
					<Button size="xs" variant="subtle" aria-label={`${what} comes later`} onClick={props.onLater}>
						Later
					</Button>
				)}
				<Button size="xs" variant="subtle" aria-label={`Take ${what} off`} onClick={props.onOff}>
					Take off
				</Button>
			</div>
			{props.open && (
				<div className="plan-line four">
					{figure('From the left', 'xM', 0)}
					{figure('From above', 'yM', 0)}
					{figure('Width', 'widthM', 0.05)}
					{figure('Depth', 'depthM', 0.05)}
				</div>
			)}
		</>
	);
}

/** Where the pointer draws and moves; everything it does can be keyed beside it. */
function Drawing(props: {
	readonly plan: Plan;
	readonly places: readonly string[];
	readonly chosen: number | null;
	readonly onChoose: (at: number | null) => void;
	readonly onAdd: (part: Part) => void;
	readonly onMove: (at: number, part: Partial<Part>) => void;
}) {
	const { plan } = props;
	const picture = useRef<SVGSVGElement>(null);
	const [grip, setGrip] = useState<Grip | null>(null);
	const [drawn, setDrawn] = useState<Part | null>(null);

	function metres(event: PointerEvent): [number, number] {
		const matrix = picture.current?.getScreenCTM()?.inverse();
		if (!matrix) return [0, 0];
		const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
		return [snap(x / 100, plan.widthM), snap(y / 100, plan.depthM)];
	}

	function down(event: PointerEvent<SVGSVGElement>): void {
		const at = Number((event.target as Element).closest('[data-part]')?.getAttribute('data-part') ?? -1);
		event.currentTarget.setPointerCapture(event.pointerId);
		setGrip({ from: metres(event), part: plan.parts[at] ?? null, at });
		props.onChoose(at < 0 ? null : at);
	}

	function move(event: PointerEvent<SVGSVGElement>): void {
		if (!grip) return;
		const [x, y] = metres(event);
		const [fromX, fromY] = grip.from;
		if (grip.part) {
			const { xM, yM, widthM, depthM } = grip.part;
			props.onMove(grip.at, {
				xM: snap(xM + x - fromX, plan.widthM - widthM),
				yM: snap(yM + y - fromY, plan.depthM - depthM),
			});
			return;
		}
		const [widthM, depthM] = [snap(Math.abs(x - fromX), plan.widthM), snap(Math.abs(y - fromY), plan.depthM)];
		const isSeen = widthM >= LEAST_M && depthM >= LEAST_M;
		const corner = { xM: Math.min(x, fromX), yM: Math.min(y, fromY) };
		setDrawn(isSeen ? { kind: 'shelf', label: nextName(plan, props.places), ...corner, widthM, depthM } : null);
	}

	function up(): void {
		if (drawn) props.onAdd(drawn);
		setDrawn(null);
		setGrip(null);
	}

	return (
		<StorePlanPicture
			plan={plan}
			drawn={drawn}
			chosen={props.chosen}
			picture={picture}
			onPointerDown={down}
			onPointerMove={move}
			onPointerUp={up}
		/>
	);
}

/** On the grid of ten centimetres, inside the building. */
function snap(value: number, most: number): number {
	return Number(Math.max(0, Math.min(most, Math.round(value / STEP_M) * STEP_M)).toFixed(2));
}

/** A shelf is called as products on the books say they stand at one, as long as there are such names. */
function nextName({ parts }: Plan, places: readonly string[]): string {
	const taken = new Set(parts.map(({ label }) => label));
	const place = places.find((each) => !taken.has(each));
	if (place) return place;
	let number = parts.filter(({ kind }) => kind === 'shelf').length + 1;
	while (taken.has(`Shelf ${number}`)) number += 1;
	return `Shelf ${number}`;
}

function isProposed(label: string, places: readonly string[]): boolean {
	return places.includes(label) || /^Shelf \d+$/.test(label);
}

function isPlace(kind: PlanPartKind): boolean {
	return kind === 'shelf' || kind === 'room' || kind === 'bund';
}
