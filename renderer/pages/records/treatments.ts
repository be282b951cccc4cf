import type { RecordLine } from '../../../shared/contract/records.ts';
import type { SpaceUnit } from '../../../shared/core/loads/closed-space.ts';
import { hectares, litres, productName, shortDate } from '../../format.ts';
import { quantityWords } from '../../held-words.ts';

/** What the diary is narrowed to. Empty means everything. */
export type Narrowing = {
	readonly fieldId: string | null;
	/** Records of the field's ground under the names it had before. */
	readonly ofGround?: ReadonlySet<string> | null;
	readonly productId: string | null;
	readonly text: string;
	readonly onlyLacking: boolean;
};

export type ProductUse = {
	readonly productId: string;
	readonly name: string;
	readonly unit: 'L' | 'kg';
	readonly amount: number;
	/** Over all its ground, all its seed or all of the closed space. */
	readonly dose: number;
	/** `L/ha`, `kg/100 kg`, `mL/m³`. */
	readonly doseUnit: string;
	readonly leastDose: number;
	readonly mostDose: number;
};

/** One job as the diary tells it: what was put on which fields, and the lines it is made of. */
export type Treatment = {
	readonly jobId: string;
	readonly firstDate: string;
	readonly lastDate: string;
	readonly title: string;
	readonly fields: readonly { readonly fieldId: string | null; readonly name: string; readonly treatedHa: number }[];
	readonly treatedHa: number;
	/** Where washings of its mix lie, over ground it had sprayed or beside it. */
	readonly washings: readonly { readonly field: string; readonly areaHa: number }[];
	/** Seed treated, kg or units; null: ground was treated. */
	readonly seed: { readonly amount: number; readonly unit: 'kg' | 'unit'; readonly waterL?: number | undefined } | null;
	/** Of its closed spaces; null: ground or seed was treated. */
	readonly space: { readonly amount: number; readonly unit: SpaceUnit } | null;
	readonly products: readonly ProductUse[];
	readonly operators: readonly string[];
	readonly sprayer: string;
	readonly sprayVolumeLPerHa: number | null;
	readonly carrier: string | null;
	readonly lines: readonly RecordLine[];
	readonly lacking: readonly RecordLine[];
	/** What any of its lines lacks, each once. */
	readonly missing: readonly string[];
	readonly unconfirmed: number;
};

/**
 * The lines that match: every word typed must stand somewhere in the line. `after 9` is what was written since
 * that entry of the spray records.
 */
export function narrowed(lines: readonly RecordLine[], { fieldId, ofGround, productId, text, onlyLacking }: Narrowing) {
	const words = text
		.toLocaleLowerCase()
		.split(/\s+/)
		.filter((word) => word !== '');
	const after = /^after (\d+)$/.exec(words.join(' '))?.[1];
	return lines.filter((line) => {
		if (after) return line.seq > Number(after);
		if (fieldId !== null && line.fieldId !== fieldId && !ofGround?.has(line.id)) return false;
		if (productId !== null && line.productId !== productId) return false;
		if (onlyLacking && line.missing.length === 0) return false;
		const { field, product, formulation, crop, reason, operator, sprayer, growthStage } = line;
		const way = line.washings === null ? '' : 'washings';
		const said = [field, product, formulation, crop, reason, operator, sprayer, growthStage, way, shortDate(line.date)]
			.join(' ')
			.toLocaleLowerCase();
		return words.every((word) => said.includes(word));
	});
}

/** `entry 9`: the number of a line as it stands on paper; null: something else is looked for. */
export function entryIn(text: string): number | null {
	const number = /^\s*entry\s+(\d+)\s*$/i.exec(text)?.[1];
	return number === undefined ? null : Number(number);
}

/** Lines by job, newest job first; within a job by field, then product. */
export function treatmentsOf(lines: readonly RecordLine[]): Treatment[] {
	return [...Map.groupBy(lines, ({ jobId }) => jobId)]
		.map(([jobId, ofJob]) => treatment(jobId, ofJob))
		.sort((a, b) => b.lastDate.localeCompare(a.lastDate));
}

function treatment(jobId: string, ofJob: readonly RecordLine[]): Treatment {
	const lines = [...ofJob].sort(
		(a, b) =>
			a.field.localeCompare(b.field) || a.product.localeCompare(b.product) || a.startedAt.localeCompare(b.startedAt),
	);
	const dates = lines.map(({ date }) => date).sort();
	const standing = lines.filter(({ state }) => state === 'current');
	const fields = [...Map.groupBy(standing, ({ fieldId, field }) => fieldId ?? field).values()].map((onField) => ({
		fieldId: onField[0]?.fieldId ?? null,
		name: onField[0]?.field ?? '',
		treatedHa: groundOf(onField),
	}));
	const [first] = lines;
	const lacking = standing.filter(({ missing }) => missing.length > 0);
	return {
		jobId,
		firstDate: dates[0] ?? '',
		lastDate: dates.at(-1) ?? '',
		title: titleOf(lines),
		fields,
		treatedHa: fields.reduce((sum, { treatedHa }) => sum + treatedHa, 0),
		washings: washingsOf(standing),
		seed: quantityOf(standing, ({ seed }) => seed),
		space: quantityOf(standing, ({ space }) => space),
		products: [...Map.groupBy(standing, ({ productId }) => productId).values()].map(productUse),
		operators: once(lines.map(({ operator }) => operator)),
		sprayer: first?.sprayer ?? '',
		sprayVolumeLPerHa: first?.sprayVolumeLPerHa ?? null,
		carrier: first?.carrier ?? null,
		lines,
		lacking,
		missing: once(lacking.flatMap(({ missing }) => missing)),
		unconfirmed: standing.filter(({ confirmed }) => !confirmed).length,
	};
}

/** The ground a job covered on one field: the products of a tank share it, its loads add up. */
function groundOf(onField: readonly RecordLine[]): number {
	const sums = [...Map.groupBy(onField, ({ productId }) => productId).values()].map((pass) =>
		pass.reduce((sum, { treatedHa }) => sum + treatedHa, 0),
	);
	return Math.max(0, ...sums);
}

/** Washings by what went out together onto one field: its products share the ground. */
function washingsOf(lines: readonly RecordLine[]): Treatment['washings'] {
	const own = lines.flatMap(({ field, washings }) => (washings ? [{ field, ...washings }] : []));
	return [...Map.groupBy(own, ({ id, field, over }) => `${id} ${field} ${over}`).values()].flatMap(([first]) =>
		first ? [{ field: first.field, areaHa: first.areaHa }] : [],
	);
}

/** The seed or the closed spaces a job treated: its products share them, batches and spaces add up. */
function quantityOf<Unit extends string>(
	lines: readonly RecordLine[],
	of: (line: RecordLine) => { readonly amount: number; readonly unit: Unit } | null,
): { amount: number; unit: Unit; waterL?: number } | null {
	const [first] = lines;
	const own = first && of(first);
	if (!own) return null;
	const ofOne = lines.filter(({ productId }) => productId === first.productId);
	const withWater = ofOne.some(({ seed }) => seed?.waterL !== undefined);
	return {
		amount: ofOne.reduce((sum, line) => sum + (of(line)?.amount ?? 0), 0),
		unit: own.unit,
		...(withWater ? { waterL: ofOne.reduce((sum, { seed }) => sum + (seed?.waterL ?? 0), 0) } : {}),
	};
}

function productUse(lines: readonly RecordLine[]): ProductUse {
	const [first] = lines;
	const amount = lines.reduce((sum, line) => sum + line.amount, 0);
	// The dose is that of the treatment: washings add to it on a small part of the ground.
	const passes = lines.some(({ washings }) => washings === null) ? lines.filter(({ washings }) => !washings) : lines;
	const doses = passes.map(doseOfLine);
	const quantities = passes.map(({ seed, space, treatedHa }) => seed?.amount ?? space?.amount ?? treatedHa);
	const quantity = quantities.reduce((sum, each) => sum + each, 0);
	const weighted = doses.reduce((sum, each, index) => sum + each * (quantities[index] ?? 0), 0);
	return {
		productId: first?.productId ?? '',
		name: productName(first?.product ?? '', first?.formulation ?? ''),
		unit: first?.unit ?? 'L',
		amount,
		dose: quantity > 0 ? weighted / quantity : (doses[0] ?? 0),
		doseUnit: first ? doseUnitOf(first) : 'L/ha',
		leastDose: Math.min(...doses),
		mostDose: Math.max(...doses),
	};
}

/** `Winter wheat: black-grass` */
function titleOf(lines: readonly RecordLine[]): string {
	const crops = once(lines.flatMap(({ crop }) => (crop ? [crop] : [])));
	const reasons = once(lines.flatMap(({ reason }) => (reason ? [reason] : [])));
	if (crops.length === 0 && reasons.length === 0) return 'Crop and reason not entered';
	return [crops.join(', ') || 'Crop not entered', ...reasons].join(': ');
}

/** Doses closer than this are one dose to a reader: small amounts can't be measured out nearer. Common practice. */
const SAME_DOSE = 1.05;

/** `0.46 L/ha`, or `0.45 to 0.6 L/ha` where fields were dosed differently. */
export function doseWords({ dose: mean, doseUnit, leastDose, mostDose }: ProductUse): string {
	if (mostDose <= SAME_DOSE * leastDose) return `${dose(mean)} ${doseUnit}`;
	return `${dose(leastDose)} to ${dose(mostDose)} ${doseUnit}`;
}

type Dosed = Pick<RecordLine, 'seed' | 'space' | 'dosePerHa' | 'unit'>;

function doseOfLine({ seed, space, dosePerHa }: Dosed): number {
	return seed?.dose ?? space?.dose.value ?? dosePerHa ?? 0;
}

/** What the dose of one record is given in. */
function doseUnitOf({ seed, space, unit }: Dosed): string {
	if (space) return space.dose.unit;
	return seed === null ? `${unit}/ha` : `${unit}/${seed.unit === 'kg' ? '100 kg' : 'unit'}`;
}

/** `0.46 L/ha`, `0.2 L/100 kg`, `5 mL/m³`. */
export function lineDose(line: RecordLine): string {
	return `${dose(doseOfLine(line))} ${doseUnitOf(line)}`;
}

/** `12.37 ha`, `5,200 kg of seed with 31 L of water`, `12,000 m³`, `washings over 0.50 ha of sprayed ground`. */
export function lineGround({
	seed,
	space,
	treatedHa,
	washings = null,
}: Pick<RecordLine, 'treatedHa'> & {
	readonly seed: Treatment['seed'];
	readonly space: Treatment['space'];
	readonly washings?: RecordLine['washings'];
}): string {
	if (washings) return `washings over ${hectares(washings.areaHa)} ha of ${washings.over}`;
	if (space) return quantityWords(space.amount, space.unit);
	if (seed === null) return `${hectares(treatedHa)} ha`;
	const water = seed.waterL === undefined ? '' : ` with ${litres(seed.waterL)} L of water`;
	return `${quantityWords(seed.amount, seed.unit)} of seed${water}`;
}

/** A dose to three figures, as labels give it; to two below 0.1, where no more can be measured out. */
export function dose(value: number): string {
	return String(Number(value.toPrecision(value < 0.1 ? 2 : 3)));
}

/** `8 of 42 lines` or `all 42 lines` */
export function shareWords(some: number, all: number): string {
	if (some === all) return all === 1 ? 'the one line' : `all ${all} lines`;
	return `${some} of ${all} lines`;
}

function once(texts: readonly string[]): string[] {
	return [...new Set(texts)];
}
