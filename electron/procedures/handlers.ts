import { invariant, ok, type Result, refuse } from '../../shared/basics/result.ts';
import { contract } from '../../shared/contract/contract.ts';
import { fill } from '../../shared/core/filling/fill.ts';
import { mixOrder } from '../../shared/core/filling/mix-order.ts';
import { reconcile } from '../../shared/core/geometry/area-reconciliation.ts';
import { planLoads } from '../../shared/core/loads/plan-loads.ts';
import { calibrate } from '../../shared/core/sprayers/calibration.ts';
import { rinse } from '../../shared/core/sprayers/rinsing.ts';
import { spreadingRate } from '../../shared/core/sprayers/spreading-rate.ts';
import { deltaT } from '../../shared/core/weather/delta-t.ts';
import { buildDemo, type CallProcedure } from '../demo/build-demo.ts';
import * as changes from './change-job.ts';
import { closeJob } from './close-job.ts';
import { completeRecords } from './complete-records.ts';
import { addNewDocument, documentPicture, listDocuments, putAside, saveDocument } from './documents.ts';
import { drawAhead } from './draw-ahead.ts';
import { exportFields } from './export-fields.ts';
import * as fieldConditions from './field-conditions.ts';
import * as fieldLimits from './field-limits.ts';
import { mergeFields, mergeGround, splitField } from './field-lineage.ts';
import { addStripTo, keepStripAsItIs, obstacleArea, stripArea, takeStripOff } from './field-strips.ts';
import * as fields from './fields.ts';
import * as fills from './fills.ts';
import {
	computes,
	type Handler,
	type HandlerFor,
	onDamaged,
	preparesAndWrites,
	type QueryContext,
	reads,
	readsLong,
	writes,
} from './handler.ts';
import { importFields } from './import-fields.ts';
import * as incidents from './incidents.ts';
import * as jobs from './jobs.ts';
import { learned } from './learned-filling.ts';
import { checkLimits } from './limits.ts';
import { loadCard } from './load-card.ts';
import { logLoad } from './log-load.ts';
import { lookInto } from './look-into.ts';
import { measureBoundary } from './measure-boundary.ts';
import { moveBetweenStores } from './move-between-stores.ts';
import { nutrientsOfField } from './nutrients.ts';
import { onHand } from './on-hand.ts';
import * as operators from './operators.ts';
import { perform } from './perform.ts';
import { printCard } from './print-card.ts';
import { printMap } from './print-map.ts';
import { exportList, importList } from './product-list.ts';
import * as products from './products.ts';
import { receiveDelivery } from './receive-delivery.ts';
import * as recipes from './recipes.ts';
import * as recommendations from './recommendations.ts';
import * as records from './records.ts';
import { writeRecordFile } from './records-file.ts';
import { cutBoundary, setBoundary, sharedGround } from './redraw-boundary.ts';
import { readReport, writeReport } from './reports.ts';
import { restore } from './restore.ts';
import { reverseLoad } from './reverse-load.ts';
import { reverseMovement } from './reverse-movement.ts';
import { cropsOfSeason, rollSeason } from './roll-season.ts';
import * as season from './season.ts';
import * as settings from './settings.ts';
import { sow, unsow } from './sow.ts';
import { sowingWaits } from './sowing-waits.ts';
import * as spaces from './spaces.ts';
import * as sprayers from './sprayers.ts';
import * as stockTake from './stock-take.ts';
import * as store from './store.ts';
import { printCountSheet, printEmergencyList } from './store-papers.ts';
import { watch } from './store-watch.ts';
import * as stores from './stores.ts';
import * as tank from './tank-state.ts';
import * as upkeep from './upkeep.ts';
import { verifyChains } from './verify-chains.ts';
import { logWashings, reverseWashings } from './washings.ts';
import { washingsAhead } from './washings-ahead.ts';
import * as waste from './waste.ts';

/** Every declared procedure with what it does; one missing or one too many does not compile. */
export const handlers = {
	settings: {
		get: reads(settings.getSettings),
		save: writes(settings.saveSettings),
		setBackground: preparesAndWrites(settings.setBackground),
		operators: reads(operators.listAllOperators),
		addOperator: writes(operators.addNewOperator),
		updateOperator: writes(operators.updateOperator),
		removeOperator: writes(operators.removeOperator),
		reminders: reads(operators.remindersNow),
	},
	products: {
		add: writes(products.addNewProduct),
		update: writes(products.updateProduct),
		list: reads(products.listAllProducts),
		exportList: reads(exportList),
		importList: preparesAndWrites(importList),
		formulations: computes(products.listFormulations),
	},
	documents: {
		list: reads(listDocuments),
		add: preparesAndWrites(addNewDocument),
		putAside: writes(putAside),
		save: reads(saveDocument),
		picture: reads(documentPicture),
	},
	fields: {
		measure: computes(measureBoundary),
		reconcile: computes(answers(reconcile)),
		import: preparesAndWrites(importFields),
		list: reads(fields.listRegister),
		crops: reads(cropsOfSeason),
		boundaries: reads(fields.listBoundaries),
		export: readsLong(exportFields),
		sharedGround: reads(sharedGround),
		printMap: reads(printMap),
		obstacle: computes(obstacleArea),
		strip: computes(stripArea),
		cut: computes(cutBoundary),
		get: reads(fields.getField),
		add: writes(fields.addByHand),
		update: writes(fields.updateField),
		setBoundary: writes(setBoundary),
		split: writes(splitField),
		merge: writes(mergeFields),
		mergeGround: reads(mergeGround),
		rollSeason: writes(rollSeason),
		chooseArea: writes(fields.chooseArea),
		addMeasurement: writes(fields.addFigure),
		setOverlap: writes(fields.setOverlap),
		addStrip: writes(addStripTo),
		removeStrip: writes(takeStripOff),
		keepStrip: writes(keepStripAsItIs),
		setCrop: writes(fields.setCrop),
	},
	spaces: {
		add: writes(spaces.addNewSpace),
		update: writes(spaces.updateSpace),
		remove: writes(spaces.removeSpace),
		list: reads(spaces.listAllSpaces),
	},
	sprayers: {
		add: writes(sprayers.addNewSprayer),
		update: writes(sprayers.updateSprayer),
		list: reads(sprayers.listAllSprayers),
		rinse: computes(answers(rinse)),
		calibrate: computes(calibrate),
		spreadingRate: computes(spreadingRate),
	},
	weather: { deltaT: computes(answers(deltaT)) },
	loads: { plan: computes(planLoads), fill: computes(fill), mixOrder: computes(mixOrder) },
	store: {
		receive: writes(store.receive),
		receiveDelivery: writes(receiveDelivery),
		onHand: reads(onHand),
		count: writes(store.count),
		counts: reads(store.counts),
		movements: reads(store.movements),
		post: writes(store.postOther),
		reverse: writes(reverseMovement),
		openStockTake: writes(stockTake.openStockTake),
		enterCount: writes(stockTake.enterCount),
		stockTake: reads(stockTake.readStockTake),
		stockTakes: reads(stockTake.readStockTakes),
		lookInto: reads(lookInto),
		settleDifference: writes(stockTake.settleDifference),
		approveStockTake: writes(stockTake.approveStockTake),
		dropStockTake: writes(stockTake.dropStockTake),
		stores: reads(stores.stores),
		addStore: writes(stores.addStore),
		saveSite: writes(stores.saveSite),
		move: writes(moveBetweenStores),
		watch: reads(watch),
		printCountSheet: reads(printCountSheet),
		printEmergencyList: reads(printEmergencyList),
	},
	waste: {
		empties: reads(waste.empties),
		countEmpties: writes(waste.countEmpties),
		noteRinse: writes(waste.noteRinse),
		closeBag: writes(waste.closeBag),
		collect: writes(waste.collect),
		takeBack: writes(waste.takeBackCollection),
	},
	recommendations: {
		add: writes(recommendations.addNewRecommendation),
		list: reads(recommendations.listAllRecommendations),
		withdraw: writes(recommendations.withdrawRecommendation),
		ofJob: reads(recommendations.recommendationFollowed),
	},
	jobs: {
		preview: reads(jobs.previewJob),
		add: writes(jobs.addNewJob),
		giveReason: writes(jobs.giveReason),
		change: writes(changes.changeJob),
		previewRest: reads(changes.previewRest),
		replan: writes(changes.replanJob),
		earlierPlans: reads(changes.earlierPlans),
		list: reads(jobs.listAllJobs),
		get: reads(jobs.getJob),
		remove: writes(jobs.removeJob),
		card: reads(loadCard),
		findCard: reads(jobs.findCard),
		printCard: reads(printCard),
		logLoad: writes(logLoad),
		reverseLoad: writes(reverseLoad),
		drawAhead: reads(drawAhead),
		washingsAhead: reads(washingsAhead),
		logWashings: writes(logWashings),
		reverseWashings: writes(reverseWashings),
		sow: writes(sow),
		unsow: writes(unsow),
		close: writes(closeJob),
	},
	recipes: {
		list: reads(recipes.listStartingPoints),
		save: writes(recipes.saveNewRecipe),
		remove: writes(recipes.removeRecipe),
	},
	fills: {
		sheet: reads(fills.sheet),
		steps: reads(fills.steps),
		step: writes(fills.noteStep),
		log: writes(fills.logFill),
		ofLoad: reads(fills.fillOfLoad),
		learned: reads(learned),
		incident: writes(incidents.logIncident),
		completeIncident: writes(incidents.completeIncident),
		withdrawIncident: writes(incidents.withdrawIncident),
		incidents: reads(incidents.listIncidents),
		cleanDown: writes(fills.cleanDown),
		rinseOut: writes(fills.rinseOut),
		cleanings: reads(tank.listCleaned),
		carryOver: reads(tank.carriedOver),
		tankState: reads(tank.tankState),
	},
	records: {
		list: reads(records.listRecordLines),
		versions: reads(records.listVersions),
		complete: writes(completeRecords),
		correct: writes(records.correctRecord),
		ruleSets: computes(records.listRuleSets),
		verify: readsLong(verifyChains),
	},
	limits: {
		check: reads(checkLimits),
		setNutrient: writes(fieldLimits.setNutrientLimit),
		endNutrient: writes(fieldLimits.endNutrientLimit),
		nutrients: reads(nutrientsOfField),
		following: reads(sowingWaits),
		conditions: reads(fieldConditions.conditionsOfField),
		answerCondition: writes(fieldConditions.answerCondition),
	},
	season: {
		statement: readsLong(season.statement),
		reconcile: readsLong(season.reconcileBooks),
		read: reads(readReport),
		report: readsLong(writeReport),
		recordFile: readsLong(writeRecordFile),
	},
	upkeep: {
		backup: readsLong(upkeep.backup),
		verifyBackup: onDamaged(readsLong(upkeep.verifyBackup)),
		restore: onDamaged(preparesAndWrites(restore)),
		opening: onDamaged(reads(upkeep.opening)),
		buildDemo: preparesAndWrites((context) =>
			context.demo ? buildDemo(context, callFrom(context)) : Promise.resolve(refuse('demo.ownRecords')),
		),
		audit: reads(upkeep.listAudit),
		about: reads(upkeep.about),
	},
} satisfies HandlerFor<typeof contract>;

/** Calls a procedure from inside another, as a door would: parsed by its schema, in a transaction of its own. */
function callFrom({ book }: QueryContext): CallProcedure {
	return async (name, input) => {
		const [module = '', procedure = ''] = name.split('.');
		const declared = (contract as unknown as Record<string, Record<string, DeclaredInput>>)[module]?.[procedure];
		const handler = (handlers as unknown as Record<string, Record<string, Handler<unknown, unknown>>>)[module]?.[
			procedure
		];
		invariant(declared && handler, `there is a procedure ${name}`);
		const parsed = declared['~orpc'].inputSchema.parse(input);
		return perform(handler, { name, input: parsed, door: { book, demo: true }, now: Date.now() });
	};
}

type DeclaredInput = { readonly '~orpc': { readonly inputSchema: { parse(input: unknown): unknown } } };

/** A function of the core that always has an answer. */
function answers<Input, Output>(compute: (input: Input) => Output): (input: Input) => Result<Output> {
	return (input) => ok(compute(input));
}
