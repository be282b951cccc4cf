import type { Book } from '../../../../db/open-book.ts';
import type { StockLine } from '../../../../shared/contract/store.ts';
import { seededRandom } from '../../seeded-random.ts';
import { bookOf, callerAt, type Model } from './store-model.ts';

const DAY_MS = 86_400_000;
const MICRO = 1_000_000;
const MEASURE = 1_000;

type Product = { readonly id: string; readonly name: string; readonly packSizes: readonly number[] };
type Movement = {
	readonly id: string;
	readonly productId: string;
	readonly store: string;
	/** Of a move between stores: where the other side stands. */
	readonly other?: string;
	readonly amount: number;
	readonly at: number;
};
type Done = { readonly name: `${string}.${string}`; readonly input: object; readonly value: unknown };
type Step = () => Promise<string | null>;

export type RandomStore = {
	readonly model: Model;
	readonly clock: { now: number };
	readonly products: readonly Product[];
	/** The stores by id, the first on top. */
	readonly stores: readonly string[];
	/** Everything done so far, in words, for a failing run. */
	readonly story: string[];
	/** Does one more thing. */
	step(): Promise<void>;
};

/** A farm's store where anything happens that the procedures allow: late, doubled, taken back, counted for last week. */
export async function randomStore(book: Book, seed: number): Promise<RandomStore> {
	const random = seededRandom(seed);
	const clock = { now: Date.UTC(2026, 2, 1, 9) };
	const model: Model = { events: [], counts: [] };
	const story: string[] = [];
	const call = callerAt(book, clock);
	const must = async <Value>(name: `${string}.${string}`, input: object): Promise<Value> => {
		const answer = await call<Value>(name, input);
		if (!answer.ok) throw new Error(`${name} was refused: ${JSON.stringify(answer.problem)}`);
		return answer.value;
	};

	await must('settings.save', { key: 'zone', zone: 'UTC' });
	const products: Product[] = [];
	const kinds = [
		['Suspension', 'SC', 'L', [5, 20]],
		['Emulsion', 'EC', 'L', [1]],
		['Granule', 'WG', 'kg', [0.5, 10]],
	] as const;
	for (const [name, formulation, unit, packSizes] of kinds) {
		const { id } = await must<{ id: string }>('products.add', { name, formulation, unit, packSizes });
		products.push({ id, name, packSizes });
	}
	const { id: fieldId } = await must<{ id: string }>('fields.add', { name: 'Great Field', measuredHa: 12_000 });
	const { id: sprayerId } = await must<{ id: string }>('sprayers.add', { name: 'T', capacityL: 4000, minimumL: 100 });
	await must('store.addStore', { key: 'barn', name: 'North barn' });
	const stores = (await must<{ storeId: string }[]>('store.stores', {})).map(({ storeId }) => storeId);
	const planned = {
		sprayerId,
		sprayVolumeLPerHa: 100,
		fields: [{ fieldId }],
		products: products.map(({ id }) => ({ productId: id, dosePerHa: 0.1 })),
		strategy: 'full',
		date: '2026-03-01',
	};
	const jobs: { readonly jobId: string; readonly store: string; nextLoad: number }[] = [];
	for (const store of stores) {
		const { id: jobId } = await must<{ id: string }>('jobs.add', { key: `job ${store}`, storeId: store, ...planned });
		jobs.push({ jobId, store, nextLoad: 1 });
	}

	let steps = 0;
	let last: Done | null = null;
	const poured = new Map<string, Model['events'][number][]>();
	const reversible: Movement[] = [];
	const reversed = new Set<string>();

	const below = (limit: number) => Math.floor(random() * limit);
	const pick = <Item>(items: readonly Item[]): Item => {
		const item = items[below(items.length)];
		if (item === undefined) throw new Error('there is nothing to pick from');
		return item;
	};
	const sometimes = (share: number) => random() < share;
	const key = () => `step ${steps}`;
	const measured = (most: number) => Math.round(random() * most * MEASURE) / MEASURE;
	const recently = () => clock.now - below(sometimes(0.5) ? 20 * DAY_MS : 3_600_000);
	/** A day and the instant the books take it for: noon, today the moment itself. */
	const someDay = (): { date?: string; at: number } => {
		if (sometimes(0.5)) return { at: clock.now };
		const date = iso(recently()).slice(0, 10);
		return { date, at: date === iso(clock.now).slice(0, 10) ? clock.now : Date.parse(`${date}T12:00:00Z`) };
	};

	const receive: Step = async () => {
		const { id: productId, name, packSizes } = pick(products);
		const [packSize, packs, { date, at }] = [pick(packSizes), 1 + below(6), someDay()];
		const batch = sometimes(0.5) ? { batch: pick(['x', 'y']) } : {};
		const expires = sometimes(0.5) ? { expires: pick(['2027-01-01', '2028-01-01']) } : {};
		const store = pick(stores);
		const into = { storeId: store, productId, packSize, packs };
		const input = { key: key(), ...into, ...(date ? { date } : {}), ...batch, ...expires };
		const value = await must<{ movementIds: string[] }>('store.receive', input);
		const amount = micro(packSize) * packs;
		model.events.push({ store, productId, at, amount });
		reversible.push({ id: value.movementIds[0] ?? '', productId, store, amount, at });
		last = { name: 'store.receive', input, value };
		return `received ${packs} × ${packSize} ${name} on ${iso(at)}`;
	};

	const logLoad: Step = async () => {
		const job = sometimes(0.7) ? jobs[0] : jobs[1];
		if (!job) return null;
		const { jobId, store, nextLoad } = job;
		const load = nextLoad > 1 && sometimes(0.05) ? 1 + below(nextLoad - 1) : nextLoad;
		const at = recently();
		const amounts = products.map(({ id: productId, packSizes }) => {
			if (sometimes(0.3)) return { productId, amount: 0 };
			return { productId, amount: sometimes(0.3) ? pick(packSizes) * below(4) : measured(12) };
		});
		const brokenOff = sometimes(0.1) ? { stopped: { why: 'rain' } } : {};
		const ground = 'stopped' in brokenOff ? { fields: [{ fieldId, areaHa: 1 }] } : {};
		const input = {
			key: key(),
			jobId,
			load,
			startedAt: iso(at),
			finishedAt: iso(at + 3_600_000),
			operator: 'A. Marsh',
			actual: { products: amounts, ...ground },
			...brokenOff,
			allowShort: sometimes(0.3),
		};
		const answer = await call('jobs.logLoad', input);
		if (answer.ok) {
			const events = amounts
				.filter(({ amount }) => amount > 0)
				.map(({ productId, amount }) => ({ store, productId, at, amount: -micro(amount) }));
			model.events.push(...events);
			const name = `${load} ${jobId}`;
			poured.set(name, [...(poured.get(name) ?? []), ...events]);
			if (load === nextLoad && !('stopped' in brokenOff)) job.nextLoad += 1;
			last = { name: 'jobs.logLoad', input, value: answer.value };
		} else expectRefusal(answer.problem.code, ['store.short', 'store.shortHere', 'load.alreadyLogged']);
		return `load ${load} of ${amounts.map(({ amount }) => amount).join(', ')} at ${iso(at)}: ${told(answer)}`;
	};

	const reverseLoad: Step = async () => {
		if (poured.size === 0) return null;
		const name = pick([...poured.keys()]);
		const [load = '', jobId] = name.split(' ');
		const input = { key: key(), jobId, load: Number(load), why: 'wrong job', by: 'J. Wren' };
		const value = await must('jobs.reverseLoad', input);
		model.events.push(...(poured.get(name) ?? []).map((event) => ({ ...event, amount: -event.amount })));
		poured.delete(name);
		last = { name: 'jobs.reverseLoad', input, value };
		return `load ${load} taken back`;
	};

	const postOther: Step = async () => {
		const { id: productId, name } = pick(products);
		const [kind, { date, at }] = [pick(['disposal', 'return', 'spill', 'transfer', 'loan']), someDay()];
		const amount = (sometimes(0.3) ? -1 : 1) * (measured(8) + 1 / MEASURE);
		const store = pick(stores);
		const said = { storeId: store, productId, kind, amount, why: 'w', by: 'J. Wren' };
		const input = { key: key(), ...said, ...(date ? { date } : {}) };
		const answer = await call<{ movementIds: string[] }>('store.post', input);
		if (answer.ok) {
			model.events.push({ store, productId, at, amount: -micro(amount) });
			for (const id of answer.value.movementIds) {
				const row = book.reader.prepare('SELECT kind, amount FROM movement WHERE id = ?').get(id);
				const { kind: posted, amount: line } = row as { kind: string; amount: number };
				if (posted !== 'opening') reversible.push({ id, productId, store, amount: line, at });
			}
			last = { name: 'store.post', input, value: answer.value };
		} else expectRefusal(answer.problem.code, ['store.short', 'store.shortHere']);
		return `${kind} of ${amount} ${name} on ${iso(at)}: ${told(answer)}`;
	};

	const reverse: Step = async () => {
		if (reversible.length === 0) return null;
		const { id, productId, store, other, amount, at } = pick(reversible);
		const input = { key: key(), movementId: id, why: 'typed twice', by: 'J. Wren' };
		const answer = await call('store.reverse', input);
		if (answer.ok) {
			if (reversed.has(id)) throw new Error('one movement was reversed twice');
			reversed.add(id);
			model.events.push({ store, productId, at, amount: -amount });
			if (other) model.events.push({ store: other, productId, at, amount });
			last = { name: 'store.reverse', input, value: answer.value };
		} else
			expectRefusal(
				answer.problem.code,
				reversed.has(id) ? ['input.invalid'] : ['movement.usedSince', ...(other ? ['store.countedSince'] : [])],
			);
		return `movement of ${amount / MICRO} at ${iso(at)} reversed: ${told(answer)}`;
	};

	/** Some of what stands in a store goes to the other. */
	const move: Step = async () => {
		const from = pick(stores);
		const [to = ''] = stores.filter((store) => store !== from);
		type Standing = Pick<StockLine, 'productId' | 'lots' | 'containers'>;
		const lines = await must<Standing[]>('store.onHand', { storeId: from });
		const there = lines.flatMap(({ productId, lots, containers }) => [
			...lots.filter(({ count }) => count > 0).map(({ lotId, size, count }) => ({ productId, lotId, size, count })),
			...containers.map(({ containerId, left }) => ({ productId, containerId, left })),
		]);
		if (there.length === 0) return null;
		const chosen = there.filter((_, index) => index === 0 || sometimes(0.3));
		const packs = chosen.flatMap((each) =>
			'lotId' in each ? [{ ...each, count: 1 + below(each.count + (sometimes(0.1) ? 1 : 0)) }] : [],
		);
		const opened = chosen.flatMap((each) => ('left' in each ? [each] : []));
		const { date, at } = someDay();
		const input = {
			...{ key: key(), fromStoreId: from, toStoreId: to, by: 'J. Wren', ...(date ? { date } : {}) },
			packs: packs.map(({ lotId, count }) => ({ lotId, count })),
			opened: opened.map(({ containerId }) => containerId),
		};
		const answer = await call<{ movementIds: string[] }>('store.move', input);
		if (answer.ok) {
			const gone = [
				...packs.map(({ productId, size, count }) => ({ productId, amount: micro(size) * count })),
				...opened.map(({ productId, left }) => ({ productId, amount: micro(left) })),
			];
			for (const [index, { productId, amount }] of gone.entries()) {
				model.events.push({ store: from, productId, at, amount: -amount }, { store: to, productId, at, amount });
				const id = answer.value.movementIds[2 * index] ?? '';
				reversible.push({ id, productId, store: from, other: to, amount: -amount, at });
			}
			last = { name: 'store.move', input, value: answer.value };
		} else expectRefusal(answer.problem.code, ['store.packsShort', 'store.countedSince']);
		return `${chosen.length} lines moved on ${iso(at)}: ${told(answer)}`;
	};

	const freezeTime = () => (sometimes(0.5) ? clock.now : clock.now - below(15 * DAY_MS));

	const count: Step = async () => {
		const { id: productId, name } = pick(products);
		const freezeAt = freezeTime();
		const store = pick(stores);
		const book = bookOf(model, productId, freezeAt, store);
		const counted = Math.max(0, Math.round((book / MICRO + (random() - 0.5) * 6) * MEASURE) / MEASURE);
		const input = { key: key(), storeId: store, productId, counted, why: 'w', by: 'C. Reed', at: iso(freezeAt) };
		const value = await must<{ bookAmount: number }>('store.count', input);
		if (micro(value.bookAmount) !== book) throw new Error(`the book says ${value.bookAmount}, not ${book / MICRO}`);
		model.counts.push({ store, productId, freezeAt, counted: micro(counted) });
		last = { name: 'store.count', input, value };
		return `${counted} ${name} counted for ${iso(freezeAt)}`;
	};

	const stockTake: Step = async () => {
		const freezeAt = freezeTime();
		const store = pick(stores);
		const opening = { key: key(), storeId: store, freezeAt: iso(freezeAt), by: 'C. Reed', blind: false };
		const { id: takeId } = await must<{ id: string }>('store.openStockTake', opening);
		const found: Model['counts'][number][] = [];
		for (const { id: productId, packSizes } of products.filter((_, index) => index === 0 || sometimes(0.5))) {
			const [smallest = 1] = packSizes;
			const full = packSizes.map((size) => ({ size, count: below(4) }));
			const parts = sometimes(0.5) ? [{ how: 'level', size: smallest, amount: measured(smallest) }] : [];
			const entry = { key: `${key()} ${productId}`, takeId, productId, by: 'C. Reed', full, parts };
			const { counted } = await must<{ counted: number }>('store.enterCount', entry);
			const verdict = { key: `${key()} ${productId}`, takeId, productId, verdict: 'accepted', why: 'w', by: 'C. Reed' };
			await must('store.settleDifference', verdict);
			found.push({ store, productId, freezeAt, counted: micro(counted) });
		}
		const input = { key: `${key()} end`, takeId, by: 'C. Reed' };
		const value = await must('store.approveStockTake', input);
		model.counts.push(...found);
		last = { name: 'store.approveStockTake', input, value };
		return `stock take for ${iso(freezeAt)}: ${found.map(({ counted }) => counted / MICRO).join(', ')}`;
	};

	const again: Step = async () => {
		if (!last) return null;
		const { name, input, value } = last;
		const lines = () => Number(book.reader.prepare('SELECT count(*) FROM movement').pluck().get());
		const before = lines();
		const answer = await must(name, input);
		if (JSON.stringify(answer) !== JSON.stringify(value)) throw new Error(`${name} answered a doubled key otherwise`);
		const reused = await call(name, { ...input, by: 'somebody else', operator: 'somebody else' }).catch(() => null);
		if (reused?.ok) throw new Error(`${name} took a used key with other content`);
		if (lines() !== before) throw new Error(`${name} posted a doubled key`);
		return `${name} sent again`;
	};

	const chances: readonly (readonly [number, Step])[] = [
		[25, receive],
		[30, logLoad],
		[9, reverseLoad],
		[12, postOther],
		[8, reverse],
		[8, count],
		[4, stockTake],
		[8, move],
		[4, again],
	];
	const whole = chances.reduce((sum, [weight]) => sum + weight, 0);

	return {
		model,
		clock,
		products,
		stores,
		story,
		async step() {
			steps += 1;
			clock.now += 60_000 * (10 + below(2_000));
			let at = random() * whole;
			const chosen = chances.find(([weight]) => {
				at -= weight;
				return at < 0;
			});
			const line = await chosen?.[1]();
			if (line) story.push(line);
		},
	};
}

function micro(amount: number): number {
	return Math.round(amount * MICRO);
}

function iso(ms: number): string {
	return new Date(ms).toISOString();
}

function told(answer: { readonly ok: boolean; readonly problem?: { readonly code: string } }): string {
	return answer.ok ? 'done' : (answer.problem?.code ?? '');
}

function expectRefusal(code: string, allowed: readonly string[]): void {
	if (!allowed.includes(code)) throw new Error(`refused with ${code}`);
}
