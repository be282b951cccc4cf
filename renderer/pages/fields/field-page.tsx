import { Button } from '@mantine/core';
import { useState } from 'react';
import { Link } from 'wouter';
import type { FieldDetail } from '../../../shared/contract/fields.ts';
import { doseWords, longDate, shortDate } from '../../format.ts';
import { Answered, Page, PageHead } from '../../parts/page.tsx';
import { WarningList } from '../../parts/problem-notice.tsx';
import { Table } from '../../parts/table.tsx';
import { type Units, useUnits } from '../../units.ts';
import { useProcedure } from '../../use-procedure.ts';
import { AreaDialog } from './area-dialog.tsx';
import { DifferenceExplained } from './difference-explained.tsx';
import './fields.css';
import { CropDialog } from './crop-dialog.tsx';
import { FieldConditions } from './field-conditions.tsx';
import { EditDialog, MeasurementDialog } from './field-dialogs.tsx';
import { FieldFollowing } from './field-following.tsx';
import { FieldGround } from './field-ground.tsx';
import { FieldNutrients } from './field-nutrients.tsx';
import { basisWords } from './field-words.ts';
import { GroundHistory } from './ground-history.tsx';
import { MergeDialog } from './merge-dialog.tsx';
import { OverlapMark, type Proposal, SprayedPasses } from './sprayed-passes.tsx';
import { RemoveStrip, StripDialog } from './strip-dialog.tsx';
import { StripName } from './strip-name.tsx';

type Opened =
	| 'edit'
	| 'area'
	| 'strip'
	| 'measurement'
	| 'merge'
	| { readonly crop: number | null }
	| { readonly removeStrip: string }
	| { readonly accept: Proposal }
	| null;

/** One field: its two areas side by side, the difference in words, what is not sprayed, and the area it is loaded for. */
export function FieldPage({ id }: { readonly id: string }) {
	const field = useProcedure(['fields', id], (api) => api.fields.get({ id }));
	return (
		<Page title={field.answer?.field.name ?? 'Field'} columns={field.answer ? 'two' : 'one'}>
			<Answered asked={field}>{(detail) => <Detail detail={detail} />}</Answered>
		</Page>
	);
}

/** What became of strips and obstacles, handed on by the page on which the boundary was drawn. */
function carriedOver(): readonly { readonly code: string; readonly message: string }[] {
	return (history.state as { carried?: [] } | null)?.carried ?? [];
}

function Detail({ detail }: { readonly detail: FieldDetail }) {
	const { hectares, name } = useUnits();
	const [opened, setOpened] = useState<Opened>(null);
	const close = () => setOpened(null);
	const accepted = opened !== null && typeof opened === 'object' && 'accept' in opened ? opened.accept : undefined;
	const crop = opened !== null && typeof opened === 'object' && 'crop' in opened ? opened.crop : undefined;
	const { field } = detail;
	const carried = carriedOver();
	const farmed = detail.retiredOn === null;
	return (
		<>
			<section>
				<p className="quiet small screen-only">
					<Link href="/fields">Fields</Link>
				</p>
				<PageHead
					title={field.name}
					under={[field.code === field.name ? null : field.code, field.crop].filter(Boolean).join(' · ') || undefined}
				>
					{farmed && (
						<Button variant="default" onClick={() => setOpened('edit')}>
							Change
						</Button>
					)}
				</PageHead>
				{detail.retiredOn && (
					<p className="above">
						<span className="chip">
							{detail.wentTo[0]?.kind === 'merge' ? 'merged' : 'split'} on {longDate(detail.retiredOn)}: no jobs are
							planned on it any more
						</span>
					</p>
				)}
				{carried.length > 0 && (
					<div className="above">
						<WarningList warnings={carried} />
					</div>
				)}
				<TwoAreas detail={detail} />
				<DifferenceExplained detail={detail} />
				<h2>Area to load for</h2>
				<div className="row spread low">
					<div>
						<span className="big-figure">
							{hectares(field.loadForHa)}
							<small>{name('ha')}</small>
						</span>
						<p className="quiet">
							{field.loadForBasis
								? basisWords[field.loadForBasis]
								: 'No area yet: bring in a boundary or type a figure'}
							{detail.loadForWhy ? ` · ${detail.loadForWhy}` : ''}
						</p>
					</div>
					{farmed && (
						<Button className="screen-only" onClick={() => setOpened('area')}>
							Choose the area
						</Button>
					)}
				</div>
				<SprayedPasses detail={detail} onAccept={(accept) => setOpened({ accept })} />
				<Strips
					detail={detail}
					onAdd={() => setOpened('strip')}
					onRemove={(stripId) => setOpened({ removeStrip: stripId })}
				/>
				<div className="row spread">
					<h2>Measured so far</h2>
					{farmed && (
						<Button className="screen-only" variant="subtle" size="xs" onClick={() => setOpened('measurement')}>
							Add a figure
						</Button>
					)}
				</div>
				<Measurements detail={detail} />
			</section>
			<section>
				<FieldGround detail={detail} onMerge={() => setOpened('merge')} />
				<div className="row spread">
					<h2>Crops</h2>
					{farmed && (
						<Button className="screen-only" variant="subtle" size="xs" onClick={() => setOpened({ crop: null })}>
							Enter a crop
						</Button>
					)}
				</div>
				<Crops detail={detail} onOpen={farmed ? (season) => setOpened({ crop: season }) : undefined} />
				<FieldFollowing fieldId={field.id} />
				<FieldConditions fieldId={field.id} />
				<FieldNutrients detail={detail} />
				<GroundHistory field={field} />
			</section>
			<EditDialog detail={detail} opened={opened === 'edit'} onClose={close} />
			<AreaDialog
				detail={detail}
				opened={opened === 'area' || accepted !== undefined}
				proposal={accepted}
				onClose={close}
			/>
			<StripDialog detail={detail} opened={opened === 'strip'} onClose={close} />
			<CropDialog detail={detail} opened={crop !== undefined} season={crop ?? null} onClose={close} />
			<MergeDialog detail={detail} opened={opened === 'merge'} onClose={close} />
			<MeasurementDialog detail={detail} opened={opened === 'measurement'} onClose={close} />
			<RemoveStrip
				detail={detail}
				stripId={opened !== null && typeof opened === 'object' && 'removeStrip' in opened ? opened.removeStrip : null}
				onClose={close}
			/>
		</>
	);
}

function TwoAreas({ detail }: { readonly detail: FieldDetail }) {
	const { field } = detail;
	const { hectares, figure, signed, name } = useUnits();
	const ha = <small>{name('ha')}</small>;
	return (
		<div className="two-figures">
			<div>
				<h2>Measured</h2>
				<span className="big-figure ground">
					{hectares(field.measuredHa)}
					{ha}
				</span>
				<p className="quiet small">
					{field.sigmaHa === null ? 'no boundary yet' : `give or take ${figure(field.sigmaHa, 'ha', 2)} ${name('ha')}`}
					{field.perimeterM !== null && ` · ${figure(field.perimeterM, 'm')} ${name('m')} round`}
				</p>
			</div>
			<div>
				<h2>Mapped</h2>
				<span className="big-figure">
					{hectares(field.mappedHa)}
					{ha}
				</span>
				<p className="quiet small">{mappedWords(detail)}</p>
			</div>
			{detail.difference && (
				<div>
					<h2>Difference</h2>
					<span className="big-figure">
						{signed(detail.difference.differenceHa, 'ha', 2)}
						{ha}
					</span>
					<p className="quiet small">
						{detail.difference.differencePercent === null
							? ''
							: `${signed(detail.difference.differencePercent, '%', 1)} % of mapped · `}
						{signed(detail.difference.edgeStripM, 'm', 1)} {name('m')} all round
					</p>
				</div>
			)}
		</div>
	);
}

function mappedWords(detail: FieldDetail): string {
	if (detail.field.mappedHa === null) return 'no mapped figure yet';
	const from = detail.mappedSource ?? 'source not noted';
	return detail.mappedOn ? `${from}, ${longDate(detail.mappedOn)}` : from;
}

function Strips(props: {
	readonly detail: FieldDetail;
	readonly onAdd: () => void;
	readonly onRemove: (id: string) => void;
}) {
	const { strips } = props.detail;
	const units = useUnits();
	const total = strips.reduce((sum, strip) => sum + strip.areaHa, 0);
	return (
		<>
			<div className="row spread">
				<h2>Not sprayed</h2>
				{props.detail.retiredOn === null && (
					<Button className="screen-only" variant="subtle" size="xs" onClick={props.onAdd}>
						Add by its area
					</Button>
				)}
			</div>
			{strips.length === 0 ? (
				<p className="quiet">No strips or obstacles are noted: the whole boundary is sprayed.</p>
			) : (
				<Table
					caption="Strips and obstacles"
					rows={strips}
					rowKey={(strip) => strip.id}
					columns={[
						{
							key: 'label',
							head: 'What',
							cell: (strip) => <StripName detail={props.detail} strip={strip} />,
							foot: 'Together',
						},
						{
							key: 'kind',
							head: 'Kind',
							cell: (strip) =>
								strip.widthM === null
									? strip.kind
									: units.say(`${strip.kind}, ${doseWords({ value: strip.widthM, unit: 'm' })} wide`),
						},
						{
							key: 'area',
							head: units.name('ha'),
							number: true,
							cell: (strip) => smallArea(strip.areaHa, units),
							foot: smallArea(total, units),
						},
						...(props.detail.retiredOn === null
							? [
									{
										key: 'remove',
										head: <span className="visually-hidden">Take off</span>,
										number: true,
										cell: (strip: FieldDetail['strips'][number]) => (
											<Button
												className="screen-only"
												variant="subtle"
												size="xs"
												aria-label={`Take off ${strip.label}`}
												onClick={() => props.onRemove(strip.id)}
											>
												Take off
											</Button>
										),
									},
								]
							: []),
					]}
				/>
			)}
		</>
	);
}

/** A mast has no hectares: below a hundredth it stands in m². */
function smallArea(areaHa: number, { figure, hectares, name }: Units): string {
	return areaHa > 0 && areaHa < 0.01 ? `${figure(areaHa * 10_000, 'm²')} ${name('m²')}` : hectares(areaHa);
}

function Crops(props: { readonly detail: FieldDetail; readonly onOpen: ((season: number) => void) | undefined }) {
	const { detail, onOpen } = props;
	if (detail.crops.length === 0) return <p className="quiet">No crop is noted. Label limits are checked by crop.</p>;
	return (
		<Table
			caption="Crops by season"
			rows={detail.crops}
			rowKey={(crop) => `${crop.season} ${crop.crop}`}
			onOpen={onOpen && ((crop) => onOpen(crop.season))}
			columns={[
				{ key: 'season', head: 'Harvest', cell: (crop) => crop.season },
				{
					key: 'crop',
					head: 'Crop',
					cell: (crop) => (
						<>
							{crop.crop}
							<span className="second">{cropWords(crop)}</span>
						</>
					),
				},
			]}
		/>
	);
}

function cropWords({ variety, eppoCode, sownOn, harvestOn }: FieldDetail['crops'][number]): string {
	const dates = [sownOn && `sown ${shortDate(sownOn)}`, harvestOn && `harvest expected ${shortDate(harvestOn)}`];
	return [variety, eppoCode, ...dates].filter(Boolean).join(' · ');
}

function Measurements({ detail }: { readonly detail: FieldDetail }) {
	const { hectares, name } = useUnits();
	if (detail.measurements.length === 0) return <p className="quiet">Nothing measured yet.</p>;
	const kinds = { boundary: 'boundary', typed: 'typed figure', sprayed: 'sprayer', machine: 'sprayer, machine area' };
	return (
		<Table
			caption="Measurements"
			rows={detail.measurements}
			rowKey={(measurement) => measurement.id}
			columns={[
				{ key: 'on', head: 'Date', cell: (measurement) => shortDate(measurement.on) },
				{
					key: 'kind',
					head: 'From',
					cell: (measurement) => (
						<>
							{kinds[measurement.kind]}
							<span className="second">{measurement.source}</span>
							{measurement.notCounted && <span className="second">Not counted: {measurement.notCounted}.</span>}
							{(measurement.kind === 'sprayed' || measurement.kind === 'machine') && (
								<OverlapMark fieldId={detail.field.id} measurement={measurement} />
							)}
						</>
					),
				},
				{ key: 'area', head: name('ha'), number: true, cell: (measurement) => hectares(measurement.areaHa) },
				{ key: 'sigma', head: '±', number: true, cell: (measurement) => hectares(measurement.sigmaHa) },
			]}
		/>
	);
}
