import { TextInput } from '@mantine/core';
import type { RecordLine } from '../../../shared/contract/records.ts';
import { DELTA_T_VALID } from '../../../shared/core/weather/delta-t.ts';
import { figure } from '../../format.ts';
import { QuantityInput } from '../../parts/quantity-input.tsx';
import { useProcedure } from '../../use-procedure.ts';

export type WeatherSeen = NonNullable<RecordLine['weather']>;

type Props = { readonly value: WeatherSeen; readonly onChange: (value: WeatherSeen) => void };

/** Wind with the height it was measured at, and the air with the delta T that follows from it. */
export function WeatherInputs({ value, onChange }: Props) {
	const set =
		(name: 'temperatureC' | 'humidityPercent' | 'windSpeedKmh' | 'windHeightM') => (figure: number | null) => {
			const { [name]: _, ...others } = value;
			onChange(figure === null ? others : { ...others, [name]: figure });
		};
	return (
		<fieldset className="group">
			<legend className="entry-label">Weather while spraying</legend>
			<div className="pair five">
				<QuantityInput
					label="Wind"
					unit="km/h"
					min={0}
					max={300}
					value={value.windSpeedKmh ?? null}
					onChange={set('windSpeedKmh')}
				/>
				<TextInput
					label="From"
					placeholder="SW"
					maxLength={20}
					value={value.windDirection ?? ''}
					onChange={(event) => {
						const { windDirection: _, ...others } = value;
						const typed = event.currentTarget.value;
						onChange(typed.trim() === '' ? others : { ...others, windDirection: typed });
					}}
				/>
				<QuantityInput
					label="Measured at"
					unit="m"
					min={0.1}
					max={20}
					value={value.windHeightM ?? null}
					onChange={set('windHeightM')}
				/>
				<QuantityInput
					label="Temperature"
					unit="°C"
					min={-40}
					max={60}
					value={value.temperatureC ?? null}
					onChange={set('temperatureC')}
				/>
				<QuantityInput
					label="Humidity"
					unit="%"
					min={0}
					max={100}
					value={value.humidityPercent ?? null}
					onChange={set('humidityPercent')}
				/>
			</div>
			<DeltaT weather={value} />
		</fieldset>
	);
}

const bandWords = {
	suitable: 'within the guideline of 2 to 8',
	marginal: 'at the edge of the guideline of 2 to 8',
	unsuitable: 'outside the guideline of 2 to 8',
} as const;

/** Delta T of the air entered: a guideline beside wind and inversion, never a permission. */
function DeltaT({ weather }: { readonly weather: WeatherSeen }) {
	const { temperatureC, humidityPercent } = weather;
	const known =
		within(temperatureC, DELTA_T_VALID.temperatureC) && within(humidityPercent, DELTA_T_VALID.humidityPercent);
	const asked = useProcedure(
		['delta T', temperatureC, humidityPercent],
		(api) => api.weather.deltaT({ temperatureC: temperatureC ?? 0, humidityPercent: humidityPercent ?? 0 }),
		{ enabled: known },
	);
	if (!known || !asked.answer) return null;
	const { deltaT, band } = asked.answer;
	return (
		<p className="small above" role="status">
			<b>Delta T {figure(deltaT, 1)} °C</b>, {bandWords[band]}.{' '}
			<span className="quiet">One sign beside wind and inversion; it allows nothing by itself.</span>
		</p>
	);
}

function within(value: number | undefined, range: { readonly from: number; readonly to: number }): boolean {
	return value !== undefined && value >= range.from && value <= range.to;
}
