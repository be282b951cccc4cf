import type { ReactNode } from 'react';
import { DELTA_T_VALID } from '../../../shared/core/weather/delta-t.ts';
import { figure } from '../../format.ts';
import { Pick } from '../../parts/pick.tsx';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';
import type { LogDraft, WeatherEntry } from './log-draft.ts';

const directions = ['N', 'NE', 'E', 'SE', 'S', 'SW', 'W', 'NW', 'variable', 'calm'] as const;

type Props = { readonly draft: LogDraft; readonly onChange: (part: Partial<LogDraft>) => void };

/** The weather as it was seen. Nothing is filled in: it is observed or left empty. */
export function LogWeather({ draft, onChange }: Props) {
	return (
		<>
			<h2>Weather seen</h2>
			<div className="log-lines">
				<WeatherEntries seen={draft} onChange={onChange}>
					<QuantityInput
						label="Measured at"
						unit="m"
						min={0.1}
						max={20}
						value={draft.windHeightM}
						onChange={(windHeightM) => onChange({ windHeightM })}
					/>
				</WeatherEntries>
			</div>
			<DeltaT temperatureC={draft.temperatureC} humidityPercent={draft.humidityPercent} />
		</>
	);
}

/** The entries of a weather, for the load or for one field; there what is empty is as for the load. */
export function WeatherEntries(props: {
	readonly seen: WeatherEntry;
	/** What was seen for the load, where this is one field. */
	readonly usual?: WeatherEntry;
	readonly on?: string;
	readonly onChange: (part: Partial<WeatherEntry>) => void;
	readonly children?: ReactNode;
}) {
	const { seen, usual, on, onChange } = props;
	const label = (what: string) => (on === undefined ? what : `${what}, ${on}`);
	const hint = (value: number | null | undefined) => (value === null || value === undefined ? '' : String(value));
	return (
		<>
			<QuantityInput
				label={label('Wind speed')}
				unit="km/h"
				min={0}
				max={300}
				placeholder={hint(usual?.windSpeedKmh)}
				value={seen.windSpeedKmh}
				onChange={(windSpeedKmh) => onChange({ windSpeedKmh })}
			/>
			<Pick
				label={label('Wind from')}
				clearable
				placeholder={usual?.windDirection ?? '–'}
				options={directions.map((direction) => ({ value: direction, label: direction }))}
				value={seen.windDirection}
				onChange={(windDirection) => onChange({ windDirection })}
			/>
			{props.children}
			<QuantityInput
				label={label('Temperature')}
				unit="°C"
				min={-40}
				max={60}
				placeholder={hint(usual?.temperatureC)}
				value={seen.temperatureC}
				onChange={(temperatureC) => onChange({ temperatureC })}
			/>
			<QuantityInput
				label={label('Humidity')}
				unit="%"
				min={0}
				max={100}
				placeholder={hint(usual?.humidityPercent)}
				value={seen.humidityPercent}
				onChange={(humidityPercent) => onChange({ humidityPercent })}
			/>
			{on !== undefined && (
				<DeltaT
					temperatureC={seen.temperatureC ?? usual?.temperatureC ?? null}
					humidityPercent={seen.humidityPercent ?? usual?.humidityPercent ?? null}
				/>
			)}
		</>
	);
}

const bands = {
	suitable: 'within the guideline of 2 to 8',
	marginal: 'at the edge of the guideline of 2 to 8',
	unsuitable: 'outside the guideline of 2 to 8',
} as const;

/** Delta T beside the guideline; a guideline is no permission. */
function DeltaT(props: { readonly temperatureC: number | null; readonly humidityPercent: number | null }) {
	const { temperatureC, humidityPercent } = props;
	const known =
		temperatureC !== null &&
		humidityPercent !== null &&
		inside(temperatureC, DELTA_T_VALID.temperatureC) &&
		inside(humidityPercent, DELTA_T_VALID.humidityPercent);
	const { answer } = useProcedure(
		['delta T', temperatureC, humidityPercent],
		(api) => api.weather.deltaT({ temperatureC: temperatureC ?? 0, humidityPercent: humidityPercent ?? 0 }),
		{ enabled: known },
	);
	if (!known || !answer) return null;
	return (
		<p className="above-small" role="status">
			Delta T <b>{figure(answer.deltaT, 1)} °C</b>, {bands[answer.band]}.{' '}
			<span className="quiet">A guideline beside wind and signs of inversion, no permission.</span>
		</p>
	);
}

function inside(value: number, { from, to }: { readonly from: number; readonly to: number }): boolean {
	return value >= from && value <= to;
}
