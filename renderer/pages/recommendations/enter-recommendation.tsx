import { Button, Textarea, TextInput } from '@mantine/core';
import { useEffect, useRef, useState } from 'react';
import { Link, useLocation } from 'wouter';
import type { FieldRow } from '../../../shared/contract/fields.ts';
import type { Product } from '../../../shared/contract/products.ts';
import type { Recommendation } from '../../../shared/contract/recommendations.ts';
import { productName, today } from '../../format.ts';
import { DateInput } from '../../parts/date-input.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { AddPick } from '../jobs/add-pick.tsx';
import { useKept } from '../jobs/use-kept.ts';
import './recommendations.css';
import { useUnits } from '../../units.ts';

/** An adviser's sheet, entered on one screen. */
export function EnterRecommendation() {
	const fields = useProcedure(['fields'], (api) => api.fields.list({}));
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const before = useProcedure(['recommendations'], (api) => api.recommendations.list({}));
	const unready = [fields, products, before].find(({ answer }) => answer === undefined);
	return (
		<Page title="Enter a recommendation">
			<section>
				<p className="quiet small">
					<Link href="/jobs">Jobs</Link> · <Link href="/jobs/recommendations">Recommendations</Link>
				</p>
				<PageHead title="Enter a recommendation" />
				{fields.answer && products.answer && before.answer ? (
					<Entry fields={fields.answer} products={products.answer} before={before.answer} />
				) : (
					unready && <Answered<unknown> asked={unready}>{() => null}</Answered>
				)}
			</section>
		</Page>
	);
}

type Draft = {
	readonly adviser: string;
	/** Null: as on the last sheet of this adviser. */
	readonly certificateNo: string | null;
	readonly reference: string;
	readonly givenOn: string | null;
	readonly validUntil: string | null;
	readonly crop: string;
	readonly fieldIds: readonly string[];
	readonly products: readonly { readonly productId: string; readonly dosePerHa: number | null }[];
	readonly sprayVolumeLPerHa: number | null;
	readonly growthStage: string;
	readonly reason: string;
	readonly note: string;
};

type Books = {
	readonly fields: readonly FieldRow[];
	readonly products: readonly Product[];
	readonly before: readonly Recommendation[];
};

function newDraft(): Draft {
	return {
		adviser: '',
		certificateNo: null,
		reference: '',
		givenOn: today(),
		validUntil: null,
		crop: '',
		fieldIds: [],
		products: [],
		sprayVolumeLPerHa: null,
		growthStage: '',
		reason: '',
		note: '',
	};
}

function Entry({ fields, products, before }: Books) {
	const [, go] = useLocation();
	const [draft, change, forget] = useKept<Draft>('recommendation', newDraft);
	const [tried, setTried] = useState(false);
	const set = (part: Partial<Draft>) => change((now) => ({ ...now, ...part }));
	const first = useRef<HTMLInputElement>(null);
	useEffect(() => first.current?.focus({ preventScroll: true }), []);
	const known = before.find(({ adviser }) => adviser.toLowerCase() === draft.adviser.trim().toLowerCase());
	const certificateNo = draft.certificateNo ?? known?.certificateNo ?? '';
	const missing = [
		draft.products.length === 0 ? 'the products' : '',
		draft.fieldIds.length === 0 && draft.crop.trim() === '' ? 'the fields or the crop' : '',
	].filter((word) => word !== '');
	const save = useCommand(
		(api, entered: Draft, key) =>
			api.recommendations.add({
				key,
				adviser: entered.adviser.trim(),
				givenOn: entered.givenOn ?? '',
				validUntil: entered.validUntil ?? '',
				fieldIds: [...entered.fieldIds],
				products: entered.products.map(({ productId, dosePerHa }) => ({ productId, dosePerHa: dosePerHa ?? 0 })),
				...(entered.sprayVolumeLPerHa === null ? {} : { sprayVolumeLPerHa: entered.sprayVolumeLPerHa }),
				...said({ ...entered, certificateNo }),
			}),
		() => {
			forget();
			go('/jobs/recommendations');
		},
	);
	return (
		<EntryForm
			command={save}
			onSubmit={() => {
				setTried(true);
				if (missing.length === 0) save.run(draft);
			}}
			foot={
				<>
					{tried && missing.length > 0 && (
						<p className="foot-word" role="alert">
							Still to enter: {missing.join(' and ')}.
						</p>
					)}
					<Button variant="default" onClick={() => go('/jobs/recommendations')}>
						Leave it
					</Button>
					<Button type="submit" loading={save.busy}>
						Save the recommendation
					</Button>
				</>
			}
		>
			<div className="recommendation-entry">
				<div>
					<h2>Who, and until when</h2>
					<div className="pair">
						<TextInput
							ref={first}
							label="Adviser"
							required
							maxLength={200}
							autoComplete="off"
							list="advisers"
							value={draft.adviser}
							onChange={(event) => set({ adviser: event.currentTarget.value })}
						/>
						<TextInput
							label="Certificate number"
							maxLength={60}
							autoComplete="off"
							value={certificateNo}
							onChange={(event) => set({ certificateNo: event.currentTarget.value })}
						/>
						<datalist id="advisers">
							{[...new Set(before.map(({ adviser }) => adviser))].map((adviser) => (
								<option key={adviser} value={adviser} />
							))}
						</datalist>
					</div>
					<div className="pair above">
						<DateInput label="Given on" required value={draft.givenOn} onChange={(givenOn) => set({ givenOn })} />
						<DateInput
							label="Holds until"
							required
							{...(draft.givenOn === null ? {} : { min: draft.givenOn })}
							value={draft.validUntil}
							onChange={(validUntil) => set({ validUntil })}
						/>
						<TextInput
							label="Number of the sheet"
							maxLength={60}
							autoComplete="off"
							value={draft.reference}
							onChange={(event) => set({ reference: event.currentTarget.value })}
						/>
					</div>
					<h2>For which ground</h2>
					<Ground fields={fields} draft={draft} onChange={set} />
				</div>
				<div>
					<h2>What</h2>
					<Mix products={products} draft={draft} onChange={set} />
					<div className="pair above">
						<QuantityInput
							label="Spray volume"
							unit="L/ha"
							min={1}
							max={5000}
							value={draft.sprayVolumeLPerHa}
							onChange={(sprayVolumeLPerHa) => set({ sprayVolumeLPerHa })}
						/>
						<TextInput
							label="Growth stage"
							placeholder="BBCH"
							maxLength={20}
							value={draft.growthStage}
							onChange={(event) => set({ growthStage: event.currentTarget.value })}
						/>
						<TextInput
							label="Reason"
							placeholder="Pest, weed or disease"
							maxLength={300}
							value={draft.reason}
							onChange={(event) => set({ reason: event.currentTarget.value })}
						/>
					</div>
					<Textarea
						className="above"
						label="What else it says"
						autosize
						minRows={2}
						maxLength={4000}
						value={draft.note}
						onChange={(event) => set({ note: event.currentTarget.value })}
					/>
				</div>
			</div>
		</EntryForm>
	);
}

type PartProps = { readonly draft: Draft; readonly onChange: (part: Partial<Draft>) => void };

function Ground({ fields, draft, onChange }: PartProps & Pick<Books, 'fields'>) {
	const farmUnits = useUnits();
	const free = fields.filter(({ id }) => !draft.fieldIds.includes(id));
	const crops = [...new Set(fields.flatMap(({ crop }) => crop ?? []))].sort();
	return (
		<>
			<TextInput
				label="Crop"
				description="Alone: every field of it"
				maxLength={100}
				autoComplete="off"
				list="crops"
				value={draft.crop}
				onChange={(event) => onChange({ crop: event.currentTarget.value })}
			/>
			<datalist id="crops">
				{crops.map((crop) => (
					<option key={crop} value={crop} />
				))}
			</datalist>
			<ul className="plain-list ruled above-small">
				{draft.fieldIds.map((id) => {
					const row = fields.find((each) => each.id === id);
					return (
						<li key={id} className="row spread">
							<span>
								{row?.name} <span className="quiet">{[row?.crop, `${farmUnits.area(row?.loadForHa)}`].join(', ')}</span>
							</span>
							<button
								type="button"
								className="act"
								aria-label={`Take out ${row?.name}`}
								onClick={() => onChange({ fieldIds: draft.fieldIds.filter((each) => each !== id) })}
							>
								×
							</button>
						</li>
					);
				})}
			</ul>
			<AddPick
				label={draft.fieldIds.length > 0 ? 'Another field' : 'Field'}
				options={free.map(({ id, name, crop }) => ({ value: id, label: [name, crop].filter(Boolean).join(' · ') }))}
				onAdd={(id) => onChange({ fieldIds: [...draft.fieldIds, id] })}
				nothingFound="No such field in the register"
				goesOn
			/>
		</>
	);
}

function Mix({ products, draft, onChange }: PartProps & Pick<Books, 'products'>) {
	const list = useRef<HTMLUListElement>(null);
	const free = products.filter(({ id }) => !draft.products.some(({ productId }) => productId === id));
	return (
		<>
			<ul className="plain-list ruled" ref={list}>
				{draft.products.map((line) => {
					const product = products.find(({ id }) => id === line.productId);
					return (
						<li key={line.productId} className="recommended-product">
							<QuantityInput
								label={`Dose of ${product?.name}`}
								unit={`${product?.unit}/ha`}
								min={0.000001}
								required
								value={line.dosePerHa}
								onChange={(dosePerHa) =>
									onChange({
										products: draft.products.map((each) =>
											each.productId === line.productId ? { ...each, dosePerHa } : each,
										),
									})
								}
							/>
							<button
								type="button"
								className="act"
								aria-label={`Take out ${product?.name}`}
								onClick={() =>
									onChange({ products: draft.products.filter(({ productId }) => productId !== line.productId) })
								}
							>
								×
							</button>
						</li>
					);
				})}
			</ul>
			<AddPick
				label={draft.products.length > 0 ? 'Another product' : 'Product'}
				options={free.map(({ id, name, formulation }) => ({ value: id, label: productName(name, formulation) }))}
				onAdd={(productId) => {
					onChange({ products: [...draft.products, { productId, dosePerHa: null }] });
					requestAnimationFrame(() => list.current?.querySelector<HTMLInputElement>('li:last-child input')?.focus());
				}}
				nothingFound="No such product on the books"
			/>
		</>
	);
}

/** The texts that were entered. */
function said(draft: Draft) {
	const texts = ['certificateNo', 'reference', 'crop', 'growthStage', 'reason', 'note'] as const;
	return Object.fromEntries(texts.map((name) => [name, (draft[name] ?? '').trim()]).filter(([, text]) => text !== ''));
}
