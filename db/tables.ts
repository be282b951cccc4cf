import { blob, integer, real, sqliteTable, text } from 'drizzle-orm/sqlite-core';
import { displayUnits } from '../shared/core/display/display-units.ts';
import { stepKinds } from '../shared/core/filling/fill-steps.ts';
import { incidentKinds } from '../shared/core/filling/yard-routines.ts';
import { fieldLimitPeriods } from '../shared/core/limits/period.ts';
import { applicationKinds, machineKinds } from '../shared/core/loads/application-kind.ts';
import { spaceKinds } from '../shared/core/loads/closed-space.ts';
import { nutrients } from '../shared/core/products/nutrient.ts';
import { movementKinds } from '../shared/core/store/movement-kinds.ts';

/** The tables as `migrations/schema.snapshot.sql` has them; a test holds the two together. */

export const farm = sqliteTable('farm', {
	id: text('id').primaryKey(),
	name: text('name'),
	zone: text('zone').notNull(),
	seasonStartMonth: integer('season_start_month').notNull(),
	ruleSet: text('rule_set').notNull(),
	measureStep: integer('measure_step').notNull(),
	meterErrorPercent: real('meter_error_percent').notNull(),
	operator: text('operator'),
	background: text('background'),
	displayUnits: text('display_units', { enum: displayUnits }),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	version: integer('version').notNull(),
});

export const operator = sqliteTable('operator', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	certificateNo: text('certificate_no'),
	certificateUntil: text('certificate_until'),
	removedAt: integer('removed_at'),
	version: integer('version').notNull(),
});

export const chain = sqliteTable('chain', {
	name: text('name', { enum: ['audit', 'ledger', 'records'] }).primaryKey(),
	seq: integer('seq').notNull(),
	hash: text('hash').notNull(),
});

export const audit = sqliteTable('audit', {
	id: text('id').primaryKey(),
	seq: integer('seq').notNull(),
	at: integer('at').notNull(),
	procedure: text('procedure').notNull(),
	commandKey: text('command_key').notNull(),
	inputHash: text('input_hash').notNull(),
	input: text('input').notNull(),
	output: text('output').notNull(),
	changes: text('changes').notNull(),
	who: text('who').notNull(),
	farmId: text('farm_id').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	program: text('program').notNull(),
	hash: text('hash').notNull(),
});

const areaBasis = { enum: ['boundary', 'mapped', 'typed', 'sprayed'] } as const;

export const field = sqliteTable('field', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	code: text('code'),
	mappedM2: real('mapped_m2'),
	mappedStepM2: real('mapped_step_m2'),
	mappedSource: text('mapped_source'),
	mappedOn: text('mapped_on'),
	boundaryId: text('boundary_id'),
	loadForBasis: text('load_for_basis', areaBasis),
	loadForM2: real('load_for_m2'),
	loadForWhy: text('load_for_why'),
	createdAt: integer('created_at').notNull(),
	version: integer('version').notNull(),
	retiredOn: text('retired_on'),
});

export const fieldBoundary = sqliteTable('field_boundary', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	geometry: text('geometry').notNull(),
	areaM2: real('area_m2').notNull(),
	sigmaM2: real('sigma_m2').notNull(),
	perimeterM: real('perimeter_m').notNull(),
	vertexCount: integer('vertex_count').notNull(),
	west: real('west').notNull(),
	south: real('south').notNull(),
	east: real('east').notNull(),
	north: real('north').notNull(),
	crs: text('crs').notNull(),
	gridScalePpm: real('grid_scale_ppm'),
	source: text('source').notNull(),
	takenOn: text('taken_on').notNull(),
	createdAt: integer('created_at').notNull(),
});

export const fieldMeasurement = sqliteTable('field_measurement', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	kind: text('kind', { enum: ['typed', 'sprayed'] }).notNull(),
	areaM2: real('area_m2').notNull(),
	sigmaM2: real('sigma_m2'),
	takenOn: text('taken_on').notNull(),
	source: text('source').notNull(),
	jobId: text('job_id'),
	createdAt: integer('created_at').notNull(),
	withOverlap: integer('with_overlap'),
});

export const fieldLineage = sqliteTable('field_lineage', {
	id: text('id').primaryKey(),
	parentId: text('parent_id').notNull(),
	childId: text('child_id').notNull(),
	kind: text('kind', { enum: ['split', 'merge'] }).notNull(),
	sharedM2: real('shared_m2').notNull(),
	happenedOn: text('happened_on').notNull(),
	createdAt: integer('created_at').notNull(),
});

export const fieldStrip = sqliteTable('field_strip', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	kind: text('kind', { enum: ['strip', 'obstacle'] }).notNull(),
	label: text('label').notNull(),
	widthM: real('width_m'),
	areaM2: real('area_m2').notNull(),
	geometry: text('geometry'),
	createdAt: integer('created_at').notNull(),
	removedAt: integer('removed_at'),
	removedWhy: text('removed_why'),
});

export const fieldLimit = sqliteTable('field_limit', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	nutrient: text('nutrient', { enum: nutrients }).notNull(),
	crop: text('crop'),
	maxKgPerHa: real('max_kg_per_ha').notNull(),
	per: text('per', { enum: fieldLimitPeriods }).notNull(),
	source: text('source').notNull(),
	fromMemory: integer('from_memory').notNull(),
	warnsOnly: integer('warns_only').notNull(),
	createdAt: integer('created_at').notNull(),
	endedAt: integer('ended_at'),
});

export const fieldCondition = sqliteTable('field_condition', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	condition: text('condition').notNull(),
	holds: integer('holds').notNull(),
	createdAt: integer('created_at').notNull(),
	endedAt: integer('ended_at'),
});

export const cropping = sqliteTable('cropping', {
	id: text('id').primaryKey(),
	fieldId: text('field_id').notNull(),
	season: integer('season').notNull(),
	crop: text('crop').notNull(),
	eppoCode: text('eppo_code'),
	variety: text('variety'),
	sownOn: text('sown_on'),
	harvestOn: text('harvest_on'),
	version: integer('version').notNull(),
});

export const product = sqliteTable('product', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	formulation: text('formulation').notNull(),
	unit: text('unit', { enum: ['L', 'kg'] }).notNull(),
	details: text('details').notNull(),
	createdAt: integer('created_at').notNull(),
	version: integer('version').notNull(),
});

export const documentKinds = ['label', 'safety data sheet', 'other', 'store plan'] as const;

export const document = sqliteTable('document', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	productId: text('product_id'),
	kind: text('kind', { enum: documentKinds }).notNull(),
	name: text('name').notNull(),
	type: text('type', { enum: ['pdf', 'png', 'jpeg'] }).notNull(),
	issuedOn: text('issued_on'),
	bytes: integer('bytes').notNull(),
	sha256: text('sha256').notNull(),
	content: blob('content', { mode: 'buffer' }).notNull(),
	replaces: text('replaces'),
	addedAt: integer('added_at').notNull(),
	who: text('who').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	storeId: text('store_id'),
});

export const documentPutAside = sqliteTable('document_put_aside', {
	documentId: text('document_id').primaryKey(),
	why: text('why').notNull(),
	who: text('who').notNull(),
	at: integer('at').notNull(),
});

export const closedSpace = sqliteTable('closed_space', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	kind: text('kind', { enum: spaceKinds }).notNull(),
	floorM2: real('floor_m2'),
	volumeM3: real('volume_m3'),
	details: text('details').notNull(),
	removedAt: integer('removed_at'),
	createdAt: integer('created_at').notNull(),
	version: integer('version').notNull(),
});

export const sprayer = sqliteTable('sprayer', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	kind: text('kind', { enum: machineKinds }).notNull(),
	capacityL: real('capacity_l').notNull(),
	minimumL: real('minimum_l').notNull(),
	hopperKg: real('hopper_kg'),
	details: text('details').notNull(),
	createdAt: integer('created_at').notNull(),
	version: integer('version').notNull(),
});

export const lot = sqliteTable('lot', {
	id: text('id').primaryKey(),
	productId: text('product_id').notNull(),
	packSize: integer('pack_size').notNull(),
	batch: text('batch'),
	expires: text('expires'),
	createdAt: integer('created_at').notNull(),
});

export const container = sqliteTable('container', {
	id: text('id').primaryKey(),
	lotId: text('lot_id').notNull(),
	openedAt: integer('opened_at').notNull(),
});

export const movement = sqliteTable('movement', {
	id: text('id').primaryKey(),
	seq: integer('seq').notNull(),
	farmId: text('farm_id').notNull(),
	eventId: text('event_id').notNull(),
	productId: text('product_id').notNull(),
	kind: text('kind', { enum: movementKinds }).notNull(),
	amount: integer('amount').notNull(),
	lotId: text('lot_id'),
	containerId: text('container_id'),
	occurredAt: integer('occurred_at').notNull(),
	postedAt: integer('posted_at').notNull(),
	who: text('who').notNull(),
	why: text('why'),
	document: text('document'),
	price: real('price'),
	jobId: text('job_id'),
	loadLogId: text('load_log_id'),
	loadNumber: integer('load_number'),
	countId: text('count_id'),
	reverses: text('reverses'),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	hash: text('hash').notNull(),
	storeId: text('store_id'),
});

export const stockCount = sqliteTable('stock_count', {
	id: text('id').primaryKey(),
	productId: text('product_id').notNull(),
	freezeAt: integer('freeze_at').notNull(),
	counted: integer('counted').notNull(),
	book: integer('book').notNull(),
	likely: integer('likely').notNull(),
	why: text('why').notNull(),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
	takeId: text('take_id'),
	sigma: integer('sigma'),
	storeId: text('store_id'),
});

export const stockTake = sqliteTable('stock_take', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	freezeAt: integer('freeze_at').notNull(),
	blind: integer('blind').notNull(),
	openedAt: integer('opened_at').notNull(),
	openedBy: text('opened_by').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	storeId: text('store_id'),
});

export const stockTakeEntry = sqliteTable('stock_take_entry', {
	id: text('id').primaryKey(),
	takeId: text('take_id').notNull(),
	productId: text('product_id').notNull(),
	place: text('place').notNull(),
	fullPacks: text('full_packs').notNull(),
	parts: text('parts').notNull(),
	counted: integer('counted').notNull(),
	sigma: integer('sigma').notNull(),
	who: text('who').notNull(),
	enteredAt: integer('entered_at').notNull(),
});

export const stockTakeVerdict = sqliteTable('stock_take_verdict', {
	id: text('id').primaryKey(),
	takeId: text('take_id').notNull(),
	productId: text('product_id').notNull(),
	verdict: text('verdict', { enum: ['accepted', 'open'] }).notNull(),
	why: text('why').notNull(),
	who: text('who').notNull(),
	saidAt: integer('said_at').notNull(),
});

export const stockTakeEnd = sqliteTable('stock_take_end', {
	takeId: text('take_id').primaryKey(),
	outcome: text('outcome', { enum: ['approved', 'dropped'] }).notNull(),
	why: text('why'),
	who: text('who').notNull(),
	endedAt: integer('ended_at').notNull(),
});

export const rinseWays = ['by hand three times', 'pressure', 'integrated', 'not rinsed'] as const;

export const containerRinse = sqliteTable('container_rinse', {
	id: text('id').primaryKey(),
	loadLogId: text('load_log_id').notNull(),
	how: text('how', { enum: rinseWays }).notNull(),
	who: text('who').notNull(),
	notedAt: integer('noted_at').notNull(),
});

export const sealBag = sqliteTable('seal_bag', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	closedOn: text('closed_on').notNull(),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
});

export const wasteCollection = sqliteTable('waste_collection', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	collectedOn: text('collected_on').notNull(),
	carrier: text('carrier').notNull(),
	registrationNo: text('registration_no').notNull(),
	noteNo: text('note_no').notNull(),
	keepUntil: text('keep_until').notNull(),
	reverses: text('reverses'),
	why: text('why'),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
});

export const wasteCollectionLine = sqliteTable('waste_collection_line', {
	collectionId: text('collection_id').notNull(),
	position: integer('position').notNull(),
	kind: text('kind').notNull(),
	code: text('code').notNull(),
	size: integer('size'),
	unit: text('unit', { enum: ['L', 'kg'] }),
	pieces: integer('pieces').notNull(),
	productId: text('product_id'),
});

export const emptiesCount = sqliteTable('empties_count', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	countedOn: text('counted_on').notNull(),
	size: integer('size').notNull(),
	unit: text('unit', { enum: ['L', 'kg'] }).notNull(),
	pieces: integer('pieces').notNull(),
	book: integer('book').notNull(),
	why: text('why'),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const store = sqliteTable('store', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	place: text('place').notNull(),
	contacts: text('contacts').notNull(),
	bundL: real('bund_l'),
	sensitive: integer('sensitive').notNull(),
	plan: text('plan'),
	closed: integer('closed').notNull(),
	version: integer('version').notNull(),
});

export const job = sqliteTable('job', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	code: text('code').notNull(),
	name: text('name').notNull(),
	kind: text('kind', { enum: applicationKinds }).notNull(),
	sprayerId: text('sprayer_id').notNull(),
	/** The first of its closed spaces; all of them are in `job_space`. */
	spaceId: text('space_id'),
	sprayDate: text('spray_date').notNull(),
	sprayVolume: real('spray_volume').notNull(),
	details: text('details').notNull(),
	plan: text('plan').notNull(),
	closing: text('closing'),
	withdrawnWhy: text('withdrawn_why'),
	createdAt: integer('created_at').notNull(),
	version: integer('version').notNull(),
});

export const jobField = sqliteTable('job_field', {
	jobId: text('job_id').notNull(),
	fieldId: text('field_id').notNull(),
	position: integer('position').notNull(),
	areaM2: real('area_m2').notNull(),
	areaBasis: text('area_basis').notNull(),
});

export const jobSpace = sqliteTable('job_space', {
	jobId: text('job_id').notNull(),
	spaceId: text('space_id').notNull(),
	position: integer('position').notNull(),
	/** As its records name it. */
	name: text('name').notNull(),
});

export const jobProduct = sqliteTable('job_product', {
	jobId: text('job_id').notNull(),
	productId: text('product_id').notNull(),
	position: integer('position').notNull(),
	dose: real('dose').notNull(),
});

export const loadLog = sqliteTable('load_log', {
	id: text('id').primaryKey(),
	jobId: text('job_id').notNull(),
	loadNumber: integer('load_number').notNull(),
	state: text('state', { enum: ['complete', 'stopped', 'reversal'] }).notNull(),
	reverses: text('reverses'),
	startedAt: integer('started_at').notNull(),
	finishedAt: integer('finished_at').notNull(),
	operator: text('operator').notNull(),
	meteredL: real('metered_l'),
	confirmed: integer('confirmed').notNull(),
	details: text('details').notNull(),
	postedAt: integer('posted_at').notNull(),
});

export const sprayRecord = sqliteTable('spray_record', {
	id: text('id').primaryKey(),
	seq: integer('seq').notNull(),
	recordId: text('record_id').notNull(),
	version: integer('version').notNull(),
	state: text('state', { enum: ['current', 'reversed'] }).notNull(),
	farmId: text('farm_id').notNull(),
	jobId: text('job_id').notNull(),
	loadLogId: text('load_log_id').notNull(),
	loadNumber: integer('load_number').notNull(),
	sprayDate: text('spray_date').notNull(),
	season: integer('season').notNull(),
	fieldId: text('field_id'),
	fieldName: text('field_name').notNull(),
	productId: text('product_id').notNull(),
	productName: text('product_name').notNull(),
	unit: text('unit', { enum: ['L', 'kg'] }).notNull(),
	treatedM2: real('treated_m2').notNull(),
	amount: integer('amount').notNull(),
	startedAt: integer('started_at').notNull(),
	finishedAt: integer('finished_at').notNull(),
	confirmed: integer('confirmed').notNull(),
	details: text('details').notNull(),
	why: text('why'),
	who: text('who').notNull(),
	writtenAt: integer('written_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
	hash: text('hash').notNull(),
	washingsId: text('washings_id'),
	washedM2: real('washed_m2'),
});

export const fillStep = sqliteTable('fill_step', {
	id: text('id').primaryKey(),
	jobId: text('job_id').notNull(),
	loadNumber: integer('load_number').notNull(),
	seq: integer('seq').notNull(),
	at: integer('at').notNull(),
	what: text('what', { enum: stepKinds }).notNull(),
	container: integer('container'),
	meteredL: real('metered_l'),
	undoes: text('undoes'),
	who: text('who').notNull(),
	notedAt: integer('noted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const fillLog = sqliteTable('fill_log', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	jobId: text('job_id').notNull(),
	loadNumber: integer('load_number').notNull(),
	sprayerId: text('sprayer_id').notNull(),
	startedAt: integer('started_at').notNull(),
	finishedAt: integer('finished_at').notNull(),
	meteredL: real('metered_l').notNull(),
	runningS: real('running_s').notNull(),
	stopsS: text('stops_s').notNull(),
	containers: integer('containers').notNull(),
	handlingS: real('handling_s'),
	handled: integer('handled'),
	operator: text('operator').notNull(),
	lastSeq: integer('last_seq').notNull(),
	postedAt: integer('posted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const incidentEntry = sqliteTable('incident_entry', {
	id: text('id').primaryKey(),
	incidentId: text('incident_id').notNull(),
	seq: integer('seq').notNull(),
	farmId: text('farm_id').notNull(),
	jobId: text('job_id'),
	loadNumber: integer('load_number'),
	kind: text('kind', { enum: incidentKinds }).notNull(),
	happenedAt: integer('happened_at').notNull(),
	productId: text('product_id'),
	amount: integer('amount'),
	mixL: real('mix_l'),
	wentTo: text('went_to'),
	done: text('done'),
	told: text('told'),
	withdrawnWhy: text('withdrawn_why'),
	who: text('who').notNull(),
	writtenAt: integer('written_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const cleaning = sqliteTable('cleaning', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	sprayerId: text('sprayer_id').notNull(),
	kind: text('kind', { enum: ['after filling', 'sprayer rinsed out'] }).notNull(),
	jobId: text('job_id'),
	loadNumber: integer('load_number'),
	at: integer('at').notNull(),
	details: text('details').notNull(),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const recipe = sqliteTable('recipe', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	name: text('name').notNull(),
	kind: text('kind', { enum: applicationKinds }).notNull(),
	sprayVolume: real('spray_volume').notNull(),
	products: text('products').notNull(),
	details: text('details'),
	createdAt: integer('created_at').notNull(),
	removedAt: integer('removed_at'),
	version: integer('version').notNull(),
});

export const recommendation = sqliteTable('recommendation', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	adviser: text('adviser').notNull(),
	certificateNo: text('certificate_no'),
	reference: text('reference'),
	givenOn: text('given_on').notNull(),
	validUntil: text('valid_until').notNull(),
	details: text('details').notNull(),
	who: text('who').notNull(),
	writtenAt: integer('written_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const recommendationWithdrawal = sqliteTable('recommendation_withdrawal', {
	recommendationId: text('recommendation_id').primaryKey(),
	why: text('why').notNull(),
	who: text('who').notNull(),
	writtenAt: integer('written_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const jobRecommendation = sqliteTable('job_recommendation', {
	jobId: text('job_id').primaryKey(),
	recommendationId: text('recommendation_id').notNull(),
	deviations: text('deviations').notNull(),
});

export const seedSowing = sqliteTable('seed_sowing', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	jobId: text('job_id').notNull(),
	fieldId: text('field_id').notNull(),
	areaM2: real('area_m2').notNull(),
	seed: real('seed').notNull(),
	sownOn: text('sown_on').notNull(),
	season: integer('season').notNull(),
	reverses: text('reverses'),
	note: text('note'),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});

export const washings = sqliteTable('washings', {
	id: text('id').primaryKey(),
	farmId: text('farm_id').notNull(),
	jobId: text('job_id').notNull(),
	loadLogId: text('load_log_id').notNull(),
	sprayerId: text('sprayer_id').notNull(),
	reverses: text('reverses'),
	startedAt: integer('started_at').notNull(),
	finishedAt: integer('finished_at').notNull(),
	leftL: real('left_l').notNull(),
	residualL: real('residual_l').notNull(),
	mixL: real('mix_l').notNull(),
	sprayedL: real('sprayed_l').notNull(),
	details: text('details').notNull(),
	who: text('who').notNull(),
	postedAt: integer('posted_at').notNull(),
	userId: text('user_id').notNull(),
	deviceId: text('device_id').notNull(),
});
