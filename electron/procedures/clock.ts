/** Instants and local dates in the farm's zone. Times are kept as UTC milliseconds and shown with their offset. */

const formats = new Map<string, Intl.DateTimeFormat>();

function formatFor(zone: string): Intl.DateTimeFormat {
	let format = formats.get(zone);
	if (!format) {
		format = new Intl.DateTimeFormat('en-GB', {
			timeZone: zone,
			hourCycle: 'h23',
			year: 'numeric',
			month: '2-digit',
			day: '2-digit',
			hour: '2-digit',
			minute: '2-digit',
			second: '2-digit',
		});
		formats.set(zone, format);
	}
	return format;
}

/** True for a zone this computer knows. */
export function isZone(zone: string): boolean {
	try {
		formatFor(zone);
		return true;
	} catch {
		return false;
	}
}

const QUARTER_MS = 900_000;
const MOST_KEPT = 50_000;
const offsets = new Map<string, Map<number, number>>();

/** Milliseconds the zone is ahead of UTC at that instant. Clocks change at whole quarters of an hour, so each is looked up once. */
function offsetAt(ms: number, zone: string): number {
	const known = offsets.get(zone) ?? new Map<number, number>();
	offsets.set(zone, known);
	const quarter = Math.floor(ms / QUARTER_MS);
	let offset = known.get(quarter);
	if (offset === undefined) {
		offset = lookUpOffset(quarter * QUARTER_MS, zone);
		if (known.size >= MOST_KEPT) known.clear();
		known.set(quarter, offset);
	}
	return offset;
}

function lookUpOffset(ms: number, zone: string): number {
	const parts = Object.fromEntries(
		formatFor(zone)
			.formatToParts(ms)
			.map(({ type, value }) => [type, Number(value)]),
	);
	const { year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = parts;
	return Date.UTC(year, month - 1, day, hour, minute, second) - Math.floor(ms / 1000) * 1000;
}

/**
 * ISO text → UTC milliseconds. Text with `Z` or an offset says itself when it is; text without one is local time.
 * In the doubled hour of autumn the first pass is taken; an hour that does not exist in spring moves forward.
 */
export function toInstant(text: string, zone: string): number {
	if (/(Z|[+-]\d{2}:?\d{2})$/i.test(text)) return Date.parse(text);
	const asUtc = Date.parse(`${text.length === 16 ? `${text}:00` : text}Z`);
	const before = asUtc - offsetAt(asUtc - 86_400_000, zone);
	const after = asUtc - offsetAt(asUtc + 86_400_000, zone);
	const fits = [Math.min(before, after), Math.max(before, after)].filter((ms) => ms + offsetAt(ms, zone) === asUtc);
	return fits[0] ?? before;
}

const texts = new Map<string, Map<number, string>>();

/** UTC milliseconds → ISO text with the zone's offset: `2027-04-15T07:30:00+02:00`. The lines of one load share theirs. */
export function toIso(ms: number, zone: string): string {
	let known = texts.get(zone);
	if (!known) {
		known = new Map();
		texts.set(zone, known);
	}
	let text = known.get(ms);
	if (text === undefined) {
		text = isoText(ms, zone);
		if (known.size >= MOST_KEPT) known.clear();
		known.set(ms, text);
	}
	return text;
}

function isoText(ms: number, zone: string): string {
	const offset = offsetAt(ms, zone);
	const local = new Date(ms + offset).toISOString().slice(0, 19);
	const minutes = Math.abs(Math.round(offset / 60_000));
	const clock = `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
	return `${local}${offset < 0 ? '-' : '+'}${clock}`;
}

/** The local date an instant falls on. */
export function toLocalDate(ms: number, zone: string): string {
	return toIso(ms, zone).slice(0, 10);
}

/** Local time of day in hours: half past eight in the evening is 20.5. */
export function hourOf(ms: number, zone: string): number {
	const [hours = 0, minutes = 0] = toIso(ms, zone).slice(11, 16).split(':').map(Number);
	return hours + minutes / 60;
}

/** First millisecond of a local day. */
export function startOfDay(date: string, zone: string): number {
	return toInstant(`${date}T00:00:00`, zone);
}

/** Last millisecond of a local day. */
export function endOfDay(date: string, zone: string): number {
	const next = new Date(Date.parse(`${date}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
	return startOfDay(next, zone) - 1;
}
