import { TextInput } from '@mantine/core';
import type { ReactNode } from 'react';
import type { MarginOnField } from '../../../shared/contract/jobs-margins.ts';
import { InFlower } from '../../parts/in-flower.tsx';
import { MarginInputs } from '../../parts/margin-inputs.tsx';
import { type MarginRow, marginsSaid } from '../../parts/margin-rows.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { WeatherInputs, type WeatherSeen } from './weather-inputs.tsx';

/** What only a person knows about a treatment, as it stands in the form. */
export type Known = {
	readonly crop: string;
	readonly eppoCode: string;
	readonly growthStage: string;
	readonly reason: string;
	readonly operator: string;
	readonly certificateNo: string;
	readonly flowering: string;
	readonly told: string;
	readonly bufferM: number | null;
	readonly margins: readonly MarginRow[];
	readonly weather: WeatherSeen;
};

export type KnownName = keyof Known;

export const nothingKnown: Known = {
	crop: '',
	eppoCode: '',
	growthStage: '',
	reason: '',
	operator: '',
	certificateNo: '',
	flowering: '',
	told: '',
	bufferM: null,
	margins: [],
	weather: {},
};

const texts: readonly {
	readonly name: Exclude<KnownName, 'bufferM' | 'margins' | 'weather' | 'flowering'>;
	readonly label: string;
	readonly longest: number;
	readonly hint?: string;
}[] = [
	{ name: 'crop', label: 'Crop', longest: 100 },
	{ name: 'eppoCode', label: 'EPPO code of the crop', longest: 12, hint: 'For example TRZAW, winter wheat' },
	{ name: 'reason', label: 'Reason', longest: 300, hint: 'Pest, weed, disease or purpose' },
	{ name: 'growthStage', label: 'Growth stage', longest: 20, hint: 'BBCH, for example 31' },
	{ name: 'operator', label: 'Operator', longest: 120 },
	{ name: 'certificateNo', label: 'Certificate number', longest: 60, hint: 'Of the operator' },
	{ name: 'told', label: 'Who was told', longest: 300, hint: 'Neighbours, beekeepers; how and when' },
];

/** The inputs for some of what is known; `noteOf` says beside each why it is asked. */
export function KnownInputs(props: {
	readonly names: ReadonlySet<KnownName>;
	readonly value: Known;
	readonly onChange: (value: Known) => void;
	readonly noteOf?: (name: KnownName) => ReactNode;
	/** Whose margins are asked for. */
	readonly fields?: readonly { readonly fieldId: string; readonly name: string }[];
	/** Of the margins: a label asks for more than 5 m to water. */
	readonly asksWithin30M?: boolean;
	/** Further inputs beside these. */
	readonly children?: ReactNode;
}) {
	const { names, value, onChange } = props;
	const note = (name: KnownName, hint?: string) => {
		const said = props.noteOf?.(name);
		return said && hint ? (
			<>
				{hint}. {said}
			</>
		) : (
			(said ?? hint)
		);
	};
	return (
		<>
			<div className="pair">
				{texts
					.filter(({ name }) => names.has(name))
					.map(({ name, label, longest, hint }) => (
						<TextInput
							key={name}
							{...(name === 'reason' || name === 'told' ? { className: 'wide' } : {})}
							label={label}
							description={note(name, hint)}
							maxLength={longest}
							value={value[name]}
							onChange={(event) => onChange({ ...value, [name]: event.currentTarget.value })}
						/>
					))}
				{names.has('flowering') && (
					<InFlower
						value={value.flowering}
						onChange={(flowering) => onChange({ ...value, flowering })}
						description={note('flowering')}
					/>
				)}
				{names.has('bufferM') && (
					<QuantityInput
						label="Buffer kept"
						unit="m"
						description={note('bufferM', 'To water or a neighbour')}
						min={0}
						value={value.bufferM}
						onChange={(bufferM) => onChange({ ...value, bufferM })}
					/>
				)}
				{props.children}
			</div>
			{names.has('margins') && (
				<fieldset className="group">
					<legend className="entry-label">Margins assessed</legend>
					<p className="quiet small">{note('margins', 'From the top of the bank, as it was assessed before')}</p>
					<MarginInputs
						rows={value.margins}
						fields={props.fields ?? []}
						asksBy
						asksWithin30M={props.asksWithin30M ?? false}
						onChange={(margins) => onChange({ ...value, margins })}
					/>
				</fieldset>
			)}
			{names.has('weather') && (
				<div>
					<WeatherInputs value={value.weather} onChange={(weather) => onChange({ ...value, weather })} />
					{note('weather') && <p className="quiet small">{note('weather')}</p>}
				</div>
			)}
		</>
	);
}

/** What was entered and differs from what stood there, as the procedures take it. */
export function knownChanges(value: Known, before: Known) {
	const entries = Object.entries(value).flatMap(([name, now]): [string, unknown][] => {
		if (JSON.stringify(now) === JSON.stringify(before[name as KnownName]) || now === null) return [];
		if (name === 'margins') {
			const said = marginsSaid(value.margins);
			const changed = JSON.stringify(said) !== JSON.stringify(marginsSaid(before.margins));
			return changed ? [[name, said]] : [];
		}
		if (name === 'eppoCode' && typeof now === 'string') return [[name, now.trim().toUpperCase()]];
		return [[name, now]];
	});
	return Object.fromEntries(entries) as Partial<Omit<Known, 'bufferM' | 'margins'>> & {
		bufferM?: number;
		margins?: MarginOnField[];
	};
}
