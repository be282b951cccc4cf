import { documentsContract } from './documents.ts';
import { fieldsContract } from './fields.ts';
import { fillingContract } from './filling.ts';
import { fillsContract } from './fills.ts';
import { fillsTankContract } from './fills-tank.ts';
import { jobsContract } from './jobs.ts';
import { limitsContract } from './limits.ts';
import { loadsPlanContract } from './loads-plan.ts';
import { productsContract } from './products.ts';
import { recipesContract } from './recipes.ts';
import { recommendationsContract } from './recommendations.ts';
import { recordsContract } from './records.ts';
import { seasonContract } from './season.ts';
import { seasonReconcileContract } from './season-reconcile.ts';
import { settingsContract } from './settings.ts';
import { spacesContract } from './spaces.ts';
import { sprayersContract } from './sprayers.ts';
import { sprayersPureContract } from './sprayers-pure.ts';
import { stockTakeContract } from './stock-take.ts';
import { storeContract } from './store.ts';
import { storeListContract } from './store-list.ts';
import { storeWatchContract } from './store-watch.ts';
import { upkeepContract } from './upkeep.ts';
import { wasteContract } from './waste.ts';
import { weatherContract } from './weather.ts';

/** Everything that can be asked, by module: `contract.fields.import` is the procedure `fields.import` at every door. */
export const contract = {
	settings: settingsContract,
	products: productsContract,
	documents: documentsContract,
	fields: fieldsContract,
	spaces: spacesContract,
	sprayers: { ...sprayersContract, ...sprayersPureContract },
	weather: weatherContract,
	loads: { ...loadsPlanContract, ...fillingContract },
	store: { ...storeContract, ...stockTakeContract, ...storeListContract, ...storeWatchContract },
	waste: wasteContract,
	recommendations: recommendationsContract,
	jobs: jobsContract,
	recipes: recipesContract,
	fills: { ...fillsContract, ...fillsTankContract },
	records: recordsContract,
	limits: limitsContract,
	season: { ...seasonContract, ...seasonReconcileContract },
	upkeep: upkeepContract,
};
