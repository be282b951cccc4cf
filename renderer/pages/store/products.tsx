import { Button, TextInput } from '@mantine/core';
import { useMemo, useState } from 'react';
import type { Product } from '../../../shared/contract/products.ts';
import { closureWords } from '../../../shared/core/products/closure.ts';
import { hazardSays } from '../../../shared/core/products/hazard-codes.ts';
import { signsOf } from '../../../shared/core/products/hazard-signs.ts';
import { type NutrientContent, nutrientKg, nutrientNames } from '../../../shared/core/products/nutrient.ts';
import { count, figure, longDate, shortDate } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Dialog } from '../../parts/dialog.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Answered, Facts, Page, PageHead } from '../../parts/page.tsx';
import { Table } from '../../parts/table.tsx';
import { HazardSigns } from '../../pictures/hazard-sign.tsx';
import { useProcedure } from '../../use-procedure.ts';
import { limitWords } from './limit-words.ts';
import { ProductDocuments } from './product-documents.tsx';
import { ProductForm } from './product-form.tsx';
import { ProductListDialog } from './product-list-dialog.tsx';
import { packSizeWords, size } from './stock-words.ts';
import { StoreNav } from './store-nav.tsx';
import './store.css';
import { useUnits } from '../../units.ts';

/** Every product on the books with what its label says, as far as anyone entered it. */
export function ProductsSection() {
	const products = useProcedure(['products'], (api) => api.products.list({}));
	const [chosen, setChosen] = useState<string | null>(null);
	const [form, setForm] = useState<'add' | 'change' | 'list' | null>(null);
	const [wanted, setWanted] = useState('');
	const rows = products.answer ?? [];
	const found = useMemo(
		() => rows.filter((row) => `${row.name} ${row.formulation}`.toLowerCase().includes(wanted.trim().toLowerCase())),
		[rows, wanted],
	);
	const product = rows.find((row) => row.id === chosen) ?? found[0];
	const close = () => setForm(null);
	return (
		<Page title="Products" columns={product ? 'two' : 'one'}>
			<section>
				<PageHead title="Store" under={products.answer ? `${count(rows.length, 'product')} on the books` : undefined}>
					<Button variant="default" onClick={() => setForm('list')}>
						List as a table
					</Button>
					<Button onClick={() => setForm('add')}>Put a product on the books</Button>
				</PageHead>
				<StoreNav at="/store/products" />
				{rows.length > 8 && (
					<TextInput
						className="screen-only"
						type="search"
						aria-label="Find a product"
						placeholder="Find a product by name or formulation"
						mb={8}
						value={wanted}
						onChange={(event) => setWanted(event.currentTarget.value)}
					/>
				)}
				<Answered asked={products}>
					{() =>
						rows.length === 0 ? (
							<Empty title="No product is on the books yet.">
								A product needs its name, formulation code and pack sizes. Label limits can follow; a limit nobody
								entered is shown as not known, never as kept.
							</Empty>
						) : (
							<List rows={found} chosen={product?.id} onChoose={setChosen} />
						)
					}
				</Answered>
			</section>
			{product && <OneProduct product={product} onChange={() => setForm('change')} />}
			<Dialog title="Put a product on the books" opened={form === 'add'} onClose={close} size="wide">
				<ProductForm product={null} onClose={close} onSaved={setChosen} />
			</Dialog>
			<ProductListDialog opened={form === 'list'} onClose={close} />
			<Dialog
				title={product ? `Change ${product.name}` : 'Change'}
				opened={form === 'change' && product !== undefined}
				onClose={close}
				size="wide"
			>
				{product && <ProductForm product={product} onClose={close} onSaved={setChosen} />}
			</Dialog>
		</Page>
	);
}

function List(props: {
	readonly rows: readonly Product[];
	readonly chosen: string | undefined;
	readonly onChoose: (id: string) => void;
}) {
	const units = useUnits();
	return (
		<Table
			caption="Products"
			rows={props.rows}
			rowKey={(row) => row.id}
			onOpen={(row) => props.onChoose(row.id)}
			selected={props.chosen}
			height={props.rows.length > 200 ? 'calc(100vh - 260px)' : undefined}
			columns={[
				{ key: 'name', head: 'Product', sort: (row) => row.name, cell: (row) => row.name },
				{ key: 'formulation', head: 'Formulation', sort: (row) => row.formulation, cell: (row) => row.formulation },
				{
					key: 'actives',
					head: 'Active substances',
					cell: (row) => row.actives.map((active) => active.substance).join(', ') || <span className="quiet">–</span>,
				},
				{
					key: 'packs',
					head: 'Packs',
					number: true,
					cell: (row) => packSizeWords(row, units),
				},
				{
					key: 'limits',
					head: 'limits',
					number: true,
					sort: (row) => row.limits.length,
					cell: (row) => (row.limits.length > 0 ? row.limits.length : <span className="quiet">none entered</span>),
				},
				{
					key: 'ends',
					head: 'Authorised to',
					sort: (row) => row.authorisationEnds ?? null,
					cell: (row) => shortDate(row.authorisationEnds),
				},
			]}
		/>
	);
}

function OneProduct({ product, onChange }: { readonly product: Product; readonly onChange: () => void }) {
	const units = useUnits();
	const lines = [product.protection, product.cautions].filter(
		(line): line is string => line !== undefined && line !== '',
	);
	const nutrients = product.nutrients ?? [];
	return (
		<section aria-label={product.name}>
			<PageHead title={product.name} under={[product.formulation, product.kind].join(' · ')}>
				<Button variant="default" onClick={onChange}>
					Change
				</Button>
			</PageHead>
			<Facts
				items={[
					product.coding !== undefined && ['Letters of the code', `${product.coding} system`],
					['Packs', packSizeWords(product, units)],
					product.relativeDensity != null && ['Relative density', String(product.relativeDensity)],
					product.displacementLPerKg != null && ['Takes up', `${product.displacementLPerKg} L/kg`],
					product.waterSolubleBag && ['Packed in', 'water-soluble bags'],
					product.closedTransfer && ['Drawn', 'by closed transfer'],
					...product.closures.map(
						(closure) =>
							[`${units.say(`${size(closure.size)} ${product.unit}`)} closed by`, closureWords(closure)] as const,
					),
					product.authorisationNo !== undefined && ['Authorisation', product.authorisationNo],
					product.authorisationEnds !== undefined && ['Authorised until', longDate(product.authorisationEnds)],
					product.saleEnds !== undefined && ['Sold until', longDate(product.saleEnds)],
					product.useUpBy !== undefined && ['Use up by', longDate(product.useUpBy)],
					product.place !== undefined && product.place !== '' && ['Stands at', product.place],
					product.holder !== undefined && ['Holder', product.holder],
				]}
			/>
			{product.hazards.length > 0 && (
				<>
					<h2>Hazards</h2>
					{signsOf(product.hazards).length > 0 && <HazardSigns signs={signsOf(product.hazards)} size="56px" />}
					<ul className="plain-list notes">
						{product.hazards.map((code) => (
							<li key={code}>
								<b>{code}</b> {hazardSays(code) ?? 'see the label'}
							</li>
						))}
					</ul>
				</>
			)}
			{product.actives.length > 0 && (
				<>
					<h2>Active substances</h2>
					<Table
						caption="Active substances"
						rows={product.actives}
						rowKey={(active) => active.substance}
						columns={[
							{ key: 'substance', head: 'Substance', cell: (active) => active.substance },
							{ key: 'mode', head: 'Mode of action', cell: (active) => active.modeOfAction ?? '–' },
							{
								key: 'content',
								head: 'content',
								number: true,
								cell: (active) => `${active.content} ${active.contentUnit}`,
							},
						]}
					/>
				</>
			)}
			{nutrients.length > 0 && (
				<>
					<h2>Nutrients</h2>
					<Table
						caption="Nutrients"
						rows={nutrients}
						rowKey={({ nutrient }) => nutrient}
						columns={[
							{ key: 'nutrient', head: 'Nutrient', cell: ({ nutrient }) => `${nutrient}, ${nutrientNames[nutrient]}` },
							{
								key: 'content',
								head: 'content',
								number: true,
								cell: ({ content, contentUnit }) => `${content} ${contentUnit}`,
							},
							{
								key: 'inUnit',
								head: `in 100 ${product.unit}`,
								number: true,
								cell: (line) => kgIn100(product, line),
							},
						]}
					/>
				</>
			)}
			{product.kind === 'liquid fertiliser' && nutrients.length === 0 && (
				<p className="notes">
					<span className="chip">nutrients not entered</span> What it brings of nitrogen cannot be counted.
				</p>
			)}
			<ProductDocuments key={product.id} productId={product.id} />
			<h2>Label limits</h2>
			{product.limits.length === 0 ? (
				<p className="quiet">None entered. Plans will show them as not known; read the label.</p>
			) : (
				<ul className="plain-list">
					{product.limits.map((limit) => (
						<li key={JSON.stringify(limit)} style={{ padding: '4px 0', borderBottom: '1px solid var(--rule)' }}>
							{units.say(limitWords(limit, product.unit))}
							<span className="quiet small">
								{' '}
								· {limit.source}
								{limit.fromMemory ? ', from memory' : ''}
							</span>
						</li>
					))}
				</ul>
			)}
			{(product.after.length > 0 || product.before.length > 0) && (
				<p className="above">
					{product.after.length > 0 && `Goes in after ${product.after.join(', ')}. `}
					{product.before.length > 0 && `Goes in before ${product.before.join(', ')}.`}
				</p>
			)}
			{product.storage !== undefined && product.storage !== '' && (
				<>
					<h2>Storage</h2>
					<p className="pre">{product.storage}</p>
				</>
			)}
			<div className="above">
				<Cautions lines={lines} />
			</div>
		</section>
	);
}

function kgIn100({ unit, relativeDensity = null }: Product, content: NutrientContent): string {
	const kg = nutrientKg(100, { unit, relativeDensity }, content);
	return kg.ok ? `${figure(kg.value, 2)} kg` : 'needs the relative density';
}
