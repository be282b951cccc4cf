import { fieldsContract } from './fields.ts';
import { jobsContract } from './jobs.ts';
import { limitsContract } from './limits.ts';
import { productsContract } from './products.ts';
import { recordsContract } from './records.ts';
import { seasonContract } from './season.ts';
import { settingsContract } from './settings.ts';
import { sprayersContract } from './sprayers.ts';
import { storeContract } from './store.ts';
import { upkeepContract } from './upkeep.ts';

/** Everything that can be asked, by module: `contract.fields.import` is the procedure `fields.import` at every door. */
export const contract = {
	settings: settingsContract,
	products: productsContract,
	fields: fieldsContract,
	sprayers: sprayersContract,
	store: storeContract,
	jobs: jobsContract,
	records: recordsContract,
	limits: limitsContract,
	season: seasonContract,
	upkeep: upkeepContract,
};
