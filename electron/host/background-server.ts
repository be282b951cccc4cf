import { readFarm } from '../../db/modules/settings.ts';
import { originOf } from '../../shared/core/map/background-layer.ts';
import type { Owner } from './owner.ts';

/** The one other server the page may load pictures from: that of the farm's background layer, while one is set. */
export async function backgroundServer(owner: Owner): Promise<string | null> {
	const farm = owner.contextFor('farm');
	if (!farm.ok || !farm.value.book) return null;
	const { background } = await readFarm(farm.value.book.read);
	return background && originOf(background);
}
