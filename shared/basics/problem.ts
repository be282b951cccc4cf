import { storeProblems } from './problem-store.ts';

/** Every way the program refuses: code, HTTP status, sentence. `{name}` in a sentence stands for a figure in `details`. */

export type JsonValue = string | number | boolean | null | readonly JsonValue[] | { readonly [key: string]: JsonValue };
export type ProblemDetails = { readonly [key: string]: JsonValue };
export type Problem = { readonly code: ProblemCode; readonly details: ProblemDetails };
export type ProblemCode = keyof typeof problems;

const problems = {
	// Any procedure
	'input.invalid': { status: 400, say: '{path}: {why}' },
	'procedure.unknown': { status: 404, say: 'There is no procedure {name}. `call --list` prints them all.' },
	'key.reused': {
		status: 409,
		say: 'The key {key} was used before with other content. Use a new key for a new entry.',
	},
	'row.changed': {
		status: 409,
		say: '{what} was changed by someone else meanwhile. Reload it and enter the change again.',
	},
	'not.found': { status: 404, say: 'No {what} with id {id} is on the books.' },
	internal: { status: 500, say: 'The program made a mistake. Nothing was saved. The log holds the details.' },

	// The doors
	'door.foreign': { status: 403, say: 'The request did not come from the program’s own window: {why}.' },
	'door.locked': {
		status: 401,
		say: 'This window belongs to an earlier start of the program. Close it and start Fillmark again.',
	},
	'door.busy': { status: 429, say: 'Too many wrong keys were tried. Wait {seconds} s.' },
	'door.tooLarge': { status: 413, say: 'That is more than one request may carry ({limit}).' },
	'door.closed': {
		status: 503,
		say: 'The program ended while it was answering. Start it again and look whether the entry is there; the same key makes it only once.',
	},

	// The data folder
	'data.notWritable': { status: 422, say: 'The books cannot be kept in {folder}: {why}.' },
	'data.inUse': {
		status: 423,
		say: 'The data folder {folder} is in use by another process ({holder}). Close it first.',
	},
	'data.networkShare': {
		status: 422,
		say: '{folder} is on a network share or in a synchronised folder ({kind}). A database there can be damaged: choose a folder on this computer.',
	},
	'data.foreign': { status: 422, say: '{file} is not a Fillmark database: {why}. It was left as it is.' },
	'data.newer': {
		status: 422,
		say: '{file} was saved by a newer version of Fillmark (schema {have}, this version knows {known}). Update the program.',
	},
	'data.damaged': { status: 422, say: '{file} is damaged: {why}. Restore the newest backup.' },
	'data.diskFault': {
		status: 507,
		say: 'The disk reported a fault ({why}). Check the disk, then send the entry again: it is made only once.',
	},
	'data.full': { status: 507, say: 'The disk is full. Nothing was saved; free some space and save again.' },

	// Boundary files and fields
	'file.missing': { status: 404, say: 'The file {file} is not there or cannot be read.' },
	'file.notBoundaries': { status: 422, say: '{file} is not a boundary file: {why}.' },
	'file.damaged': { status: 422, say: '{file} is damaged: {why}. Export it again.' },
	'file.encrypted': { status: 422, say: '{file} is protected by a password. Export it again without one.' },
	'file.inUse': {
		status: 423,
		say: '{file} is open in another program, which has not written everything yet. Close it there first.',
	},
	'file.tooBig': { status: 413, say: '{file} is larger than an import may be: {why}.' },
	'file.tooSlow': { status: 413, say: '{file} could not be read within {seconds} s. Export fewer fields at a time.' },
	'file.noFields': { status: 422, say: '{file} holds no fields: {why}.' },
	'file.layerUnclear': { status: 422, say: '{file} holds several layers. Say which one to import.' },
	'file.crsUnknown': {
		status: 422,
		say: '{file} does not say which reference system its coordinates are in ({why}). Choose one.',
	},
	'file.crsAsked': {
		status: 422,
		say: '{file} says its coordinates are in {crs}. Choose the reference system they are in instead.',
	},
	'file.crsUnsupported': { status: 422, say: '{file} is in {crs}, which cannot be measured safely: {why}.' },
	'file.attributeUnknown': { status: 422, say: '{file} has no column {attribute}. It has: {attributes}.' },
	'file.repairNotOffered': { status: 422, say: '{file}, record {record} has no repair “{repair}”. Look at it again.' },
	'file.areaUnitUnclear': {
		status: 422,
		say: 'The unit of the figures in the column {attribute} of {file} is not clear. Choose one.',
	},
	'file.notTable': { status: 422, say: '{file} cannot be read as a table: {why}. Start from the template.' },
	'file.notWritten': { status: 422, say: '{file} could not be written: {why}.' },
	'fields.noneToExport': {
		status: 422,
		say: 'The register holds no fields yet: there is nothing to write. Bring in boundaries or add a field first.',
	},
	'fields.notCut': {
		status: 422,
		say: 'The line leaves the field in one piece. Begin and end it outside the boundary, right across the field.',
	},
	'fields.partsDiffer': {
		status: 422,
		say: 'The parts cover {partsM2} m² and the field {fieldM2} m²: a field is split into parts of its own ground, all of it.',
	},
	'fields.noBoundary': { status: 422, say: '{field} has no boundary. Bring one in or draw it first.' },
	'fields.openJobs': {
		status: 409,
		say: '{field} is in an open job ({job}). Close or withdraw the job first: its records name this field.',
	},
	'fields.nothingToDraw': {
		status: 422,
		say: 'No field has a boundary, so there is no map. Bring boundaries in or draw them first.',
	},
	'fields.retired': {
		status: 409,
		say: '{field} was split or merged on {on}. Choose the field its ground belongs to now.',
	},
	'geometry.invalid': { status: 422, say: 'The boundary cannot be measured: {why}.' },
	'obstacle.noGround': {
		status: 422,
		say: '{label} takes up no ground that is sprayed: it lies outside {field} or on ground that is left out already. Draw it inside the boundary.',
	},
	'strip.edgeUnknown': { status: 422, say: '{ring} has no edge {edge}. It has {edges}, counted from 0.' },
	'strip.noEdges': { status: 422, say: 'The no-spray strip {label} lies along no edge. Choose at least one.' },
	'strip.nothingLeft': {
		status: 422,
		say: 'Strips and obstacles of {leftOutM2} m² leave nothing to spray of the {measuredM2} m² of the field.',
	},
	'area.notPositive': { status: 422, say: '{path} must be greater than zero.' },

	// Products and store
	'product.contentNeedsDensity': {
		status: 422,
		say: '{substance}: a content in {contentUnit} of a product measured in {unit} needs the relative density of the product.',
	},
	'product.densityMissing': {
		status: 422,
		say: '{product} ({formulation}) is a liquid sold by mass: its relative density is needed to know the litres it takes up.',
	},
	'product.formulationUnknown': {
		status: 422,
		say: '{formulation} is not a formulation code in use. See the list in Products.',
	},
	'product.formulationAmbiguous': {
		status: 422,
		say: '{product}: the letters {formulation} mean different things in different coding systems. Say which one the label uses.',
	},
	'product.packUnknown': { status: 422, say: '{product} has no pack size of {size} {unit}. It has: {sizes}.' },
	'product.nameTaken': {
		status: 409,
		say: 'A product named {name} with formulation {formulation} is already on the books.',
	},
	'document.unknown': {
		status: 422,
		say: '{file} is not a whole PDF, PNG or JPEG: {why}. Save it again in one of these forms.',
	},
	'document.kept': { status: 409, say: '{file} is kept with this already, as {name}.' },
	'document.notCurrent': { status: 409, say: '{name} is not in use any more: it was {state}.' },
	'document.damaged': {
		status: 500,
		say: '{name} is not what was taken in: its check sum differs. Take it from a backup, or keep the document again.',
	},
	'plan.outside': {
		status: 422,
		say: '{label} stands outside the building of {widthM} m by {depthM} m. Make the building larger or move it.',
	},
	'plan.labelTwice': { status: 422, say: 'Two shelves are named {label}. Give each a name of its own.' },
	...storeProblems,

	// Sprayers
	'calibration.contradiction': {
		status: 422,
		say: '{figure} is given as {given}, but the other figures make it {follows}. Leave one of them out.',
	},
	'calibration.noFlow': {
		status: 422,
		say: 'All {catches} catches are zero, so there is no mean output to compare with.',
	},
	'operator.listed': { status: 409, say: '{name} is on the list of operators already. Change the entry there is.' },
	'sprayer.minimumAboveCapacity': {
		status: 422,
		say: 'The smallest load of {minimumL} L is above the tank of {capacityL} L.',
	},

	// Jobs and loads
	'load.doseNotPositive': { status: 422, say: '{path}: the dose of {product} must be greater than zero.' },
	'load.noRoomForWater': {
		status: 422,
		say: 'The products alone fill load {load}: {productL} L of product in {mixL} L of mix.',
	},
	'load.noRoomForCarrier': {
		status: 422,
		say: '{carrierLPerHa} L/ha of fertiliser do not go into a spray volume of {sprayVolumeLPerHa} L/ha: the products leave {roomLPerHa} L/ha. Raise the spray volume or take less.',
	},
	'load.otherMixInTank': { status: 422, say: 'The tank holds {leftL} L of another mix. Empty and rinse it first.' },
	'load.unsprayableAboveCapacity': {
		status: 422,
		say: 'The unsprayable {unsprayableL} L leave no room in a tank of {capacityL} L.',
	},
	'load.doseAboveLabel': {
		status: 422,
		say: '{product}: a dose of {dose} {unit}/ha is above the label maximum of {limit} {unit}/ha.',
	},
	'load.doseUnclear': {
		status: 422,
		say: '{path}: give {product} one dose, as dosePerHa, dosePer100L or dosePercent. Given: {given}.',
	},
	'load.percentByMass': {
		status: 422,
		say: '{path}: % v/v is for products sold by the litre. Give the dose of {product} in kg, per ha or per 100 L.',
	},
	'load.leftAboveCapacity': {
		status: 422,
		say: 'The tank of {capacityL} L cannot hold the {leftL} L said to be left in it.',
	},
	'load.tooMany': {
		status: 422,
		say: 'The job takes {loads} loads, more than {most}. Check area, spray volume and tank.',
	},
	'load.tooManyContainers': {
		status: 422,
		say: '{product}: the job takes {containers} containers, more than {most}. Check dose and pack sizes ({path}).',
	},
	'product.solidByVolume': {
		status: 422,
		say: '{product} ({formulation}) is a solid: a litre of it is part air, so its dose and packs are given in kg.',
	},
	'load.unknown': { status: 404, say: 'The job has no load {load}. It has {loads}.' },
	'load.alreadyLogged': { status: 409, say: 'Load {load} is already logged in full. Reverse it first if it is wrong.' },
	'load.notLogged': { status: 409, say: 'Load {load} is not logged, so there is nothing to reverse.' },
	'load.timesReversed': { status: 422, say: 'The load ends ({finishedAt}) before it starts ({startedAt}).' },
	'load.fieldNotInJob': { status: 422, say: 'The field {fieldId} does not belong to this job.' },
	'load.productNotInJob': { status: 422, say: 'The product {productId} does not belong to this job.' },
	'load.tankTooFull': { status: 422, say: 'The tank of {totalL} L is full before the first container at {startL} L.' },
	'load.rinseAboveWater': {
		status: 422,
		say: 'Rinsing from the clean tank takes {rinseL} L, more than the {waterL} L of water of this load.',
	},
	'load.fillAboveTotal': {
		status: 422,
		say: 'Mix carried in, water and product come to {contentL} L, above the load total of {totalL} L.',
	},
	'fill.stepStands': {
		status: 409,
		say: 'Load {load}: “{what}” does not follow on what is noted already. Another device may have noted it; the screen shows what stands.',
	},
	'fill.notBegun': { status: 409, say: 'No fill of load {load} was begun, so there is none to log.' },
	'incident.withdrawn': {
		status: 409,
		say: 'This incident is withdrawn: {why} Enter it again where it did happen.',
	},
	'incident.posted': {
		status: 409,
		say: 'The {product} lost in this incident is posted already. Correct the posting in the store.',
	},
	'incident.amountAlone': { status: 422, say: 'A lost amount needs its product, and a lost product its amount.' },
	'mixOrder.contradiction': { status: 422, say: 'The label instructions contradict each other: {instructions}.' },
	'mixOrder.notForTank': {
		status: 422,
		say: '{product} ({formulation}, {name}) does not go into a spray tank with water. Take it out of the mix, or correct its formulation.',
	},
	'mixOrder.notRanked': {
		status: 422,
		say: '{product}: the letters {formulation} ({name}) do not say how it mixes. Enter the code of the part that goes into the tank.',
	},
	'mixOrder.unknownPartner': { status: 422, say: '{product} is to go {relation} {partner}, which is not in this mix.' },
	'recommendation.withdrawn': {
		status: 409,
		say: 'The recommendation of {adviser} of {givenOn} was withdrawn already: {why}.',
	},
	'job.wrongMachine': {
		status: 422,
		say: '{kind} takes a {needed}; {machine} is a {is}. Choose another one, or another way to bring it out.',
	},
	'job.oneProduct': {
		status: 422,
		say: '{kind} brings out one product at a time, and {products} stand in the job. Plan a job for each.',
	},
	'job.notSpread': {
		status: 422,
		say: '{product} is not a solid sold by the kilogram: it cannot be spread from a hopper.',
	},
	'job.noSeed': { status: 422, say: 'This job treats no seed. Only the seed of a seed treatment is sown.' },
	'seed.moreThanTreated': {
		status: 422,
		say: '{sown} {unit} of seed would be sown, and {left} {unit} of what was treated are left. Correct the amount, or log the treatment first.',
	},
	'seed.slurryTooSmall': {
		status: 422,
		say: 'Slurry volume: {slurryL} L to {per}, and the products alone take up {productL} L. Raise the slurry volume, or check the doses.',
	},
	'job.seedSown': {
		status: 409,
		say: 'Seed of this job was sown on {field}. Take the sowing back first.',
	},
	'space.jobOpen': {
		status: 409,
		say: '{space} cannot be taken off the list: {job} is still open there. Close or withdraw that job first.',
	},
	'space.sizeMissing': {
		status: 422,
		say: '{space} has no {what} on the books. Enter it with the closed space, or say it for this job.',
	},
	'job.inOneGo': {
		status: 422,
		say: 'A closed space is treated in one go: there is no rest to plan. Go on with the load, or plan another job.',
	},
	'job.washedOut': { status: 409, say: 'Washings of this job were put onto {field}. Take them back first.' },
	'washings.moreThanMixed': {
		status: 422,
		say: 'The washings would hold {held} {unit} of {product}, and {mixed} {unit} of it were mixed and are on the records. Check the litres left.',
	},
	'job.blocked': {
		status: 422,
		say: 'A limit stands against this job: {why} Change the plan; what was sprayed can always be logged.',
	},
	'job.begun': {
		status: 409,
		say: 'Loads of this job are logged: its plan stays. Plan what is still open again instead.',
	},
	'job.nothingToMix': {
		status: 422,
		say: 'The {left} {unit} left are enough for this ground: nothing is to be made up. Go on with the load that was broken off.',
	},
	'load.noMixKept': {
		status: 422,
		say: 'Load {load} was not broken off with its mix kept, so there is nothing to carry on.',
	},
	'job.reasonNeeded': {
		status: 422,
		say: 'A warning stands against this job: {why} Give the reason for going on.',
	},
	'job.closed': { status: 409, say: 'The job is closed.' },

	// Records and season
	'record.final': { status: 409, say: 'The record is final. Enter a correction instead.' },
	'period.reversed': { status: 422, say: 'The period ends ({to}) before it starts ({from}).' },
	'report.unknown': { status: 422, say: 'There is no report {report}. There are: {reports}.' },
	'pdf.noBrowser': {
		status: 503,
		say: 'No Chromium, Chrome or Edge was found to make the PDF with. Install one, or print from the screen.',
	},

	// Map
	'background.unusable': { status: 422, say: 'No background can be fetched from this address: {why}.' },
	'demo.noBackground': {
		status: 409,
		say: 'The demonstration farm lies nowhere on earth. Set a background in your own farm’s book.',
	},

	// Upkeep
	'demo.ownRecords': {
		status: 409,
		say: 'These are the records of the farm itself: the demonstration farm is kept in a folder of its own.',
	},
	'backup.invalid': { status: 422, say: '{file} is not a sound backup: {why}.' },
	'backup.exists': { status: 409, say: '{file} is already there. Choose another name; a backup is never overwritten.' },
} as const satisfies Record<string, { status: number; say: string }>;

/** Every code, for the reference page and the tests. */
export const problemCodes = Object.keys(problems) as ProblemCode[];

/** HTTP status of a problem. */
export function statusOf(code: ProblemCode): number {
	return problems[code].status;
}

/** The sentence a person reads: what is wrong, with the figures, and the cure. */
export function sentenceOf({ code, details }: Problem): string {
	return problems[code].say.replace(/\{(\w+)\}/g, (_, name: string) => textOf(details[name]));
}

function textOf(value: JsonValue | undefined): string {
	if (value === undefined || value === null) return '?';
	if (Array.isArray(value)) return value.map(textOf).join(', ');
	return typeof value === 'object' ? JSON.stringify(value) : String(value);
}
