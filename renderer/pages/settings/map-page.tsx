import { Button, SegmentedControl, TextInput } from '@mantine/core';
import { useMemo, useState } from 'react';
import type { Settings } from '../../../shared/contract/settings.ts';
import { originOf } from '../../../shared/core/map/background-layer.ts';
import { type Api, useBook } from '../../api.ts';
import { mapField } from '../../map/boundary.ts';
import { FieldMap } from '../../map/lazy-field-map.tsx';
import { Answered, EntryForm, Page, PageHead } from '../../parts/page.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useCommand, useProcedure } from '../../use-procedure.ts';
import { SettingsNav } from './settings-nav.tsx';

/** The background under the map: off, or pictures from one server that the farm names. */
export function MapPage() {
	const book = useBook();
	const settings = useProcedure(['settings'], (api) => api.settings.get({}));
	return (
		<Page title="Map" columns="two">
			<section>
				<PageHead title="Settings" />
				<SettingsNav at="/settings/map" />
				{book === 'demo' ? (
					<p>The demonstration farm lies nowhere on earth. A background is set in your own farm’s book.</p>
				) : (
					<Answered asked={settings}>{(now) => <BackgroundForm background={now.background} />}</Answered>
				)}
			</section>
			<section>
				<h2>How the map looks</h2>
				<Shown />
			</section>
		</Page>
	);
}

type Background = Settings['background'];
type NewBackground = Parameters<Api['settings']['setBackground']>[0]['background'];
type Kind = 'off' | NonNullable<Background>['kind'];

function BackgroundForm({ background }: { readonly background: Background }) {
	const [kind, setKind] = useState<Kind>(background?.kind ?? 'off');
	const [address, setAddress] = useState(background?.address ?? '');
	const [layers, setLayers] = useState(background?.layers ?? '');
	const [credit, setCredit] = useState(background?.credit ?? '');
	const [deepestZoom, setDeepestZoom] = useState<number | null>(background?.deepestZoom ?? 19);
	// The page's own security policy names the server: it is made anew with the page.
	const save = useCommand(
		(api, next: NewBackground, key) => api.settings.setBackground({ key, background: next }),
		(after) => {
			if (serverOf(after.background) !== serverOf(background)) window.location.reload();
		},
	);

	function submit(): void {
		if (kind === 'off') save.run(null);
		else if (kind === 'wms') save.run({ kind, address, layers, credit });
		else save.run({ kind, address, credit, ...(deepestZoom === null ? {} : { deepestZoom }) });
	}

	return (
		<EntryForm
			command={save}
			onSubmit={submit}
			foot={
				<Button type="submit" loading={save.busy} disabled={kind === 'off' && background === null}>
					{kind === 'off' ? 'Switch it off' : 'Use this background'}
				</Button>
			}
		>
			<h2>Background of the map</h2>
			<SegmentedControl<Kind>
				aria-label="Background of the map"
				value={kind}
				onChange={setKind}
				data={[
					{ value: 'off', label: 'None' },
					{ value: 'xyz', label: 'Squares (XYZ)' },
					{ value: 'wms', label: 'Map service (WMS)' },
				]}
			/>
			{kind === 'off' && <p className="quiet">Maps show the fields on plain paper, and no server is asked.</p>}
			{kind !== 'off' && (
				<>
					<TextInput
						label="Address"
						description={
							kind === 'xyz'
								? 'With {z}, {x} and {y} where the server wants zoom, column and row'
								: 'As the provider gives it; what follows SERVICE= may be left out'
						}
						placeholder={kind === 'xyz' ? 'https://…/{z}/{x}/{y}.png' : 'https://…/wms'}
						required
						maxLength={2000}
						spellCheck={false}
						value={address}
						onChange={(event) => setAddress(event.currentTarget.value)}
					/>
					{kind === 'wms' && (
						<TextInput
							label="Layers"
							description="Names from the service’s list, divided by commas"
							required
							maxLength={500}
							spellCheck={false}
							value={layers}
							onChange={(event) => setLayers(event.currentTarget.value)}
						/>
					)}
					<TextInput
						label="Source line"
						description="As the provider asks for it; it stands on every map"
						placeholder="© …"
						required
						maxLength={200}
						value={credit}
						onChange={(event) => setCredit(event.currentTarget.value)}
					/>
					{kind === 'xyz' && (
						<QuantityInput
							label="Deepest zoom of the server"
							unit="of 22"
							description="Beyond it, its squares are enlarged"
							required
							min={1}
							max={22}
							value={deepestZoom}
							onChange={setDeepestZoom}
						/>
					)}
					<div className="notice">
						<span className="word">Look</span>
						<p>
							From then on this server is asked for every piece of ground you look at, over the internet. Whoever runs
							it can tell where the fields are. Names, areas and records stay on this computer. Use a server whose terms
							allow it.
						</p>
					</div>
				</>
			)}
		</EntryForm>
	);
}

function serverOf(background: Background): string | null {
	return background && originOf(background);
}

function Shown() {
	const boundaries = useProcedure(['field boundaries'], (api) => api.fields.boundaries({}));
	const fields = useMemo(() => (boundaries.answer ?? []).map((shape) => mapField(shape, '')), [boundaries.answer]);
	return (
		<FieldMap label="Map of the fields as it is set now" height="min(560px, calc(100vh - 220px))" fields={fields} />
	);
}
