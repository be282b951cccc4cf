/** What the store, its stock takes and its empties refuse; a part of the one table in `problem.ts`. */
export const storeProblems = {
	'store.short': {
		status: 422,
		say: 'The store book holds {have} {unit} of {product}, {need} {unit} are to leave it. Post the missing delivery first, or, where it went into a tank, log it as short.',
	},
	'store.shortHere': {
		status: 422,
		say: 'The book of {store} holds {have} {unit} of {product}, {need} {unit} are to leave it. In other stores: {elsewhere}. Move it first, or name the store it was taken from; where it went into a tank, it can be logged as short.',
	},
	'store.packsShort': {
		status: 422,
		say: 'Of this batch of {product} {have} full containers stand in the store, {need} are to be moved. Move what is there, or book what is missing first.',
	},
	'store.countedSince': {
		status: 422,
		say: '{product} was counted in {store} on {on}, after it was moved. The count stands: give a day after it, or take stock there again.',
	},
	'store.nameTwice': {
		status: 422,
		say: 'A store is called {store} already. Choose a name by which people know which one is meant.',
	},
	'store.closed': {
		status: 422,
		say: '{store} is no longer in use. Choose another store, or take it into use again.',
	},
	'store.notEmpty': {
		status: 422,
		say: 'By the book {products} products still stand in {store}. Move them to another store or take stock there first.',
	},
	'store.batchShort': {
		status: 422,
		say: 'Of batch {batch} of {product} the store book holds {have} {unit}, {need} {unit} were poured. Batches on the shelf: {batches}. Correct the batch, or log it as short.',
	},
	'movement.usedSince': {
		status: 422,
		say: 'Of the {need} {unit} of {product} that came in, {have} {unit} are still there. Reverse what took the rest first, or enter a stock take.',
	},
	'count.partAboveSize': {
		status: 422,
		say: '{product}: {amount} {unit} were entered for an opened container of {size} {unit}. Enter full ones as full, or correct the reading.',
	},
	'count.tareAboveGross': {
		status: 422,
		say: '{product}: the empty container ({tareKg} kg) is heavier than the full weight ({grossKg} kg). Swap them.',
	},
	'count.densityMissing': {
		status: 422,
		say: '{product} is kept in litres: weighing it needs its relative density. Enter it in Products, or count by level.',
	},
	'delivery.noteTwice': {
		status: 409,
		say: 'Delivery note {note} is on the books already: {packs} packs of {product} on {on}. Correct the number, or say that it is another delivery.',
	},
	'waste.moreThanWaiting': {
		status: 422,
		say: 'The book has {waiting} waiting of {what}, {pieces} were entered. Correct the number, or say that more were there.',
	},
	'waste.sizeUnknown': { status: 422, say: 'No containers of {size} {unit} ever came in. There are: {sizes}.' },
	'waste.noteTwice': {
		status: 409,
		say: 'Note {note} of {carrier} is on the books already, collected on {on}. Correct the number.',
	},
	'waste.takenBack': { status: 409, say: 'The collection with note {note} was taken back already.' },
	'stockTake.openAlready': {
		status: 409,
		say: 'A stock take opened by {by} is still open. Approve it or drop it first.',
	},
	'stockTake.ended': { status: 409, say: 'This stock take was {outcome} by {by}. Open a new one to count again.' },
	'stockTake.future': { status: 422, say: 'The freeze time {at} has not come yet. Choose a time that is over.' },
	'stockTake.notCounted': { status: 422, say: '{product} was not counted in this stock take. Enter its count first.' },
	'stockTake.nothingCounted': { status: 422, say: 'Nothing was counted yet, so there is nothing to approve.' },
	'stockTake.unsettled': {
		status: 422,
		say: 'More apart than measuring explains and not settled: {products}. Accept each with a reason, or leave it open.',
	},
} as const satisfies Record<string, { status: number; say: string }>;
