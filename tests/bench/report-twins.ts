import type { ReportName } from '../../shared/contract/season.ts';

/**
 * What each report asks, as one would write it by hand for better-sqlite3: one statement, its rows as objects. Times of
 * day are UTC as the bench's farm is. `figure` is a column whose sum must be the same on both sides; of texts their lengths.
 */
export type Twin = { readonly sql: string; readonly figure: string | null };

/** Records that stand, in their newest version. */
const STANDS = `r.spray_date BETWEEN @from AND @to AND r.state = 'current'
	AND NOT EXISTS (SELECT 1 FROM spray_record n WHERE n.record_id = r.record_id AND n.version > r.version)`;
const iso = (column: string) => `strftime('%Y-%m-%dT%H:%M:%S+00:00', ${column} / 1000, 'unixepoch')`;
const detail = (path: string) => `json_extract(r.details, '$.${path}')`;

const DIARY = `r.spray_date AS date, ${iso('r.started_at')} AS startedAt, ${iso('r.finished_at')} AS finishedAt,
	r.field_name AS field, ${detail('crop')} AS crop, ${detail('eppoCode')} AS eppoCode,
	${detail('growthStage')} AS growthStage, r.product_name AS product, ${detail('authorisationNo')} AS authorisationNo,
	${detail('dosePerHa')} AS dosePerHa, r.treated_m2 / 10000 AS treatedHa, r.amount / 1e6 AS amount, r.unit AS unit,
	iif(r.confirmed = 1, 'confirmed', 'as planned') AS amounts, ${detail('reason')} AS reason,
	${detail('operator')} AS operator, ${detail('certificateNo')} AS certificateNo, ${detail('sprayer')} AS sprayer,
	${detail('sprayVolumeLPerHa')} AS sprayVolumeLPerHa, ${detail('weather.windSpeedKmh')} AS windSpeedKmh,
	${detail('weather.windDirection')} AS windDirection, ${detail('weather.temperatureC')} AS temperatureC,
	${detail('weather.humidityPercent')} AS humidityPercent, ${detail('bufferM')} AS bufferM, r.load_number AS load,
	r.version AS version, r.seq AS seq, nullif(concat_ws(', ',
		iif(${detail('useType')} IS NULL, 'use type', NULL),
		iif(${detail('authorisationNo')} IS NULL, 'authorisation number', NULL),
		iif(${detail('dosePerHa')} IS NULL, 'dose', NULL), iif(${detail('crop')} IS NULL, 'crop', NULL),
		iif(${detail('eppoCode')} IS NULL, 'EPPO code', NULL),
		iif(${detail('growthStage')} IS NULL AND ${detail('confined')} LIKE '%growth stage%', 'growth stage', NULL),
		iif(r.started_at IS NULL AND ${detail('confined')} LIKE '%time of day%', 'start time', NULL)), '') AS missing`;

/** Of an amount what lies on its ground: without what stayed in sump and lines. */
const ON_GROUND = `iif(instr(r.details, '"stayed":') = 0, r.amount,
	r.amount - 1e6 * json_extract(r.details, '$.stayed.stayed'))`;

/** Area of each pass: of the product that covered most. */
const PASSES = `lines AS (SELECT r.field_id, r.job_id, r.product_id, sum(r.treated_m2) AS m2, sum(r.amount) AS amount,
		sum(${ON_GROUND}) AS on_ground FROM spray_record r WHERE ${STANDS} GROUP BY r.field_id, r.job_id, r.product_id)`;

const LOG = `SELECT l.operator, (SELECT json_extract(r.details, '$.certificateNo') FROM spray_record r
		WHERE r.load_log_id = l.id LIMIT 1) AS certificateNo,
	s.name AS sprayer, strftime('%Y-%m-%d', l.started_at / 1000, 'unixepoch') AS date, ${iso('l.started_at')} AS startedAt,
	${iso('l.finished_at')} AS finishedAt, j.name AS job,
	l.load_number || ' of ' || json_array_length(j.plan, '$.loads') AS load, l.state AS state,
	(SELECT group_concat(f.name, ', ') FROM json_each(l.details, '$.ground') g
		JOIN field f ON f.id = json_extract(g.value, '$.fieldId')) AS fields,
	(SELECT group_concat(p.name, ', ') FROM job_product jp JOIN product p ON p.id = jp.product_id
		WHERE jp.job_id = l.job_id) AS products,
	(SELECT sum(json_extract(g.value, '$.areaHa')) FROM json_each(l.details, '$.ground') g) AS areaHa,
	(SELECT json_extract(p.value, '$.newMixL') FROM json_each(j.plan, '$.loads') p
		WHERE json_extract(p.value, '$.load') = l.load_number) AS newMixL, l.metered_l AS meteredL
	FROM load_log l JOIN job j ON j.id = l.job_id JOIN sprayer s ON s.id = j.sprayer_id
	WHERE l.started_at BETWEEN @start AND @end AND l.state <> 'reversal'
		AND NOT EXISTS (SELECT 1 FROM load_log b WHERE b.reverses = l.id)`;

export const twins: Readonly<Record<ReportName, Twin>> = {
	today: {
		sql: `SELECT f.name AS field, f.code AS code, c.crop AS crop, max(r.spray_date) AS treatedOn,
				max(r.finished_at + 3600000 * coalesce((SELECT json_extract(l.value, '$.min') FROM json_each(p.details, '$.limits') l
					WHERE json_extract(l.value, '$.kind') = 'reentry'), 0)) AS entryAt,
				max(date(r.spray_date, '+' || (SELECT json_extract(l.value, '$.min') FROM json_each(p.details, '$.limits') l
					WHERE json_extract(l.value, '$.kind') = 'harvestInterval') || ' days')) AS harvestOn,
				max(date(r.spray_date, '+' || (SELECT json_extract(l.value, '$.min') FROM json_each(p.details, '$.limits') l
					WHERE json_extract(l.value, '$.kind') = 'interval') || ' days')) AS againOn
			FROM spray_record r JOIN field f ON f.id = r.field_id JOIN product p ON p.id = r.product_id
			LEFT JOIN cropping c ON c.field_id = f.id AND c.season = r.season
			WHERE r.spray_date BETWEEN date(@to, '-35 days') AND @to AND r.state = 'current'
				AND NOT EXISTS (SELECT 1 FROM spray_record n WHERE n.record_id = r.record_id AND n.version > r.version)
			GROUP BY r.field_id
			HAVING harvestOn > @to OR againOn > @to ORDER BY f.name`,
		figure: null,
	},
	'spray diary': {
		sql: `SELECT ${DIARY} FROM spray_record r WHERE ${STANDS} ORDER BY r.spray_date, r.started_at, r.seq`,
		figure: 'amount',
	},
	'diary by field': {
		sql: `SELECT ${DIARY} FROM spray_record r WHERE ${STANDS}
			ORDER BY r.field_name, r.field_id, r.spray_date, r.started_at, r.seq`,
		figure: 'amount',
	},
	'job sheet': {
		sql: `SELECT j.name AS job, json_extract(j.details, '$.customer') AS customer, r.spray_date AS date,
				${iso('min(r.started_at)')} AS startedAt, ${iso('max(r.finished_at)')} AS finishedAt, r.field_name AS field,
				${detail('crop')} AS crop, ${detail('eppoCode')} AS eppoCode, ${detail('growthStage')} AS growthStage,
				sum(r.treated_m2) / 10000 AS treatedHa, r.product_name AS product,
				${detail('authorisationNo')} AS authorisationNo, sum(${ON_GROUND}) / 100.0 / sum(r.treated_m2) AS dosePerHa,
				sum(r.amount) / 1e6 AS amount, r.unit AS unit, ${detail('reason')} AS reason,
				group_concat(DISTINCT ${detail('operator')}) AS operator, ${detail('certificateNo')} AS certificateNo,
				${detail('sprayer')} AS sprayer, ${detail('sprayVolumeLPerHa')} AS sprayVolumeLPerHa,
				max(${detail('noEntryUntil')}) AS noEntryUntil, max(${detail('harvestFrom')}) AS harvestFrom,
				min(${detail('weather.windSpeedKmh')}) AS windSpeedKmh, max(${detail('weather.windSpeedKmh')}) AS windUpToKmh,
				group_concat(DISTINCT ${detail('weather.windDirection')}) AS windDirection
			FROM spray_record r JOIN job j ON j.id = r.job_id WHERE ${STANDS}
			GROUP BY r.job_id, r.field_id, r.spray_date, r.product_id
			ORDER BY date, job, field, product`,
		figure: 'amount',
	},
	'limit review': {
		sql: `WITH lim AS MATERIALIZED (SELECT p.id AS product_id, p.name AS product,
				json_extract(l.value, '$.kind') AS kind, json_extract(l.value, '$.max') AS most,
				json_extract(l.value, '$.min') AS least, json_extract(l.value, '$.substance') AS substance,
				coalesce(json_extract(l.value, '$.years'), 1) AS years
				FROM product p, json_each(p.details, '$.limits') l),
			act AS MATERIALIZED (SELECT p.id AS product_id, json_extract(a.value, '$.substance') AS substance,
				json_extract(a.value, '$.content') * iif(json_extract(a.value, '$.contentUnit') = 'g/kg' AND p.unit = 'L',
					json_extract(p.details, '$.relativeDensity'), 1) AS g
				FROM product p, json_each(p.details, '$.actives') a),
			uses AS MATERIALIZED (SELECT r.field_id, r.job_id, r.product_id, r.spray_date, min(r.started_at) AS at,
				min(r.season) AS season, min(r.seq) AS seq, min(r.field_name) AS field, sum(r.treated_m2) AS m2,
				sum(r.amount) / 100.0 / sum(r.treated_m2) AS dose, min(r.details) AS details
				FROM spray_record r WHERE r.spray_date BETWEEN date(@from, '-7 years') AND @to AND r.state = 'current'
					AND NOT EXISTS (SELECT 1 FROM spray_record n WHERE n.record_id = r.record_id AND n.version > r.version)
				GROUP BY r.field_id, r.job_id, r.product_id, r.spray_date),
			judged AS (SELECT u.*, l.kind, l.product, CASE l.kind
				WHEN 'singleDose' THEN u.dose > l.most * (1 + 1e-9)
				WHEN 'totalDose' THEN u.dose + coalesce((SELECT sum(o.dose) FROM uses o WHERE o.field_id = u.field_id
					AND o.product_id = u.product_id AND o.at < u.at AND o.spray_date >= c.sown_on), 0) > l.most * (1 + 1e-9)
				WHEN 'treatments' THEN 1 + (SELECT count(DISTINCT o.job_id) FROM uses o WHERE o.field_id = u.field_id
					AND o.product_id = u.product_id AND o.at < u.at AND o.spray_date >= c.sown_on) > l.most
				WHEN 'interval' THEN EXISTS (SELECT 1 FROM uses o WHERE o.field_id = u.field_id
					AND o.product_id = u.product_id AND o.at < u.at AND o.spray_date > date(u.spray_date, '-' || l.least || ' days'))
				WHEN 'harvestInterval' THEN date(u.spray_date, '+' || l.least || ' days') > c.harvest_on
				WHEN 'crop' THEN c.eppo_code NOT IN ('TRZAW', 'HORVW')
				WHEN 'activeSubstance' THEN coalesce((SELECT sum(o.dose * a.g) FROM uses o JOIN act a
					ON a.product_id = o.product_id AND a.substance = l.substance WHERE o.field_id = u.field_id
					AND o.at <= u.at AND o.spray_date > date(u.spray_date, '-' || l.years || ' years')), 0) > l.most
				END AS bad
				FROM uses u JOIN lim l ON l.product_id = u.product_id
				LEFT JOIN cropping c ON c.field_id = u.field_id AND c.season = u.season
				WHERE u.spray_date >= @from)
			SELECT spray_date AS date, field, product, kind, seq AS entry, json_extract(details, '$.crop') AS crop
			FROM judged WHERE bad ORDER BY spray_date, field`,
		figure: null,
	},
	'limits used': {
		sql: `WITH lim AS MATERIALIZED (SELECT p.id AS product_id, p.name AS product,
				json_extract(l.value, '$.kind') AS kind, json_extract(l.value, '$.max') AS most,
				json_extract(l.value, '$.substance') AS substance, json_extract(l.value, '$.years') AS years
				FROM product p, json_each(p.details, '$.limits') l
				WHERE json_extract(l.value, '$.kind') IN ('totalDose', 'treatments', 'activeSubstance')),
			act AS MATERIALIZED (SELECT p.id AS product_id, json_extract(a.value, '$.substance') AS substance,
				json_extract(a.value, '$.content') * iif(json_extract(a.value, '$.contentUnit') = 'g/kg' AND p.unit = 'L',
					json_extract(p.details, '$.relativeDensity'), 1) AS g
				FROM product p, json_each(p.details, '$.actives') a),
			uses AS MATERIALIZED (SELECT r.field_id, r.job_id, r.product_id, r.spray_date, group_concat(r.seq) AS entries,
				sum(r.amount) / 100.0 / sum(r.treated_m2) AS dose
				FROM spray_record r WHERE r.spray_date BETWEEN date(@to, '-7 years', '+1 day') AND @to AND r.state = 'current'
					AND NOT EXISTS (SELECT 1 FROM spray_record n WHERE n.record_id = r.record_id AND n.version > r.version)
				GROUP BY r.field_id, r.job_id, r.product_id, r.spray_date),
			own AS (SELECT u.field_id, u.product_id, sum(u.dose) AS dose, count(*) AS times, group_concat(u.entries) AS entries
				FROM uses u JOIN cropping c ON c.field_id = u.field_id AND c.season = @season
				WHERE u.spray_date BETWEEN c.sown_on AND c.harvest_on GROUP BY u.field_id, u.product_id),
			grams AS (SELECT u.field_id, a.substance, sum(u.dose * a.g) AS g, group_concat(u.entries) AS entries
				FROM uses u JOIN act a ON a.product_id = u.product_id GROUP BY u.field_id, a.substance),
			used AS (SELECT o.field_id, l.kind || l.product AS what, iif(l.kind = 'totalDose', o.dose, o.times) AS used, l.most, o.entries
				FROM own o JOIN lim l ON l.product_id = o.product_id AND l.kind <> 'activeSubstance'
				UNION ALL SELECT g.field_id, g.substance, g.g, l.most, g.entries
				FROM grams g JOIN lim l ON l.substance = g.substance)
			SELECT f.name AS field, f.code, c.crop, u.what AS "limit", 100 * u.used / u.most AS share, u.used, u.most AS max,
				u.most - u.used AS "left", u.entries AS records
			FROM used u JOIN field f ON f.id = u.field_id LEFT JOIN cropping c ON c.field_id = f.id AND c.season = @season
			WHERE u.used >= 0.5 * u.most ORDER BY f.name, share DESC`,
		figure: 'share',
	},
	'nutrients by field': {
		sql: `WITH has AS MATERIALIZED (SELECT p.id AS product_id, json_extract(n.value, '$.nutrient') AS nutrient,
				json_extract(n.value, '$.content') / 100.0 * json_extract(p.details, '$.relativeDensity') AS kg
				FROM product p, json_each(p.details, '$.nutrients') n),
			passes AS (SELECT r.field_id, r.job_id, r.product_id, r.spray_date, sum(${ON_GROUND}) / 1e6 AS amount,
				sum(${ON_GROUND}) / 100.0 / sum(r.treated_m2) AS dose, group_concat(r.seq) AS entries
				FROM spray_record r WHERE r.product_id IN (SELECT product_id FROM has)
					AND r.spray_date BETWEEN @from AND @to AND r.state = 'current'
					AND NOT EXISTS (SELECT 1 FROM spray_record n WHERE n.record_id = r.record_id AND n.version > r.version)
				GROUP BY r.field_id, r.job_id, r.product_id, r.spray_date)
			SELECT f.name AS field, f.code AS code, c.crop AS crop, h.nutrient AS nutrient,
				sum(p.amount * h.kg) AS kg, sum(p.dose * h.kg) AS kgPerHa
			FROM passes p JOIN has h ON h.product_id = p.product_id JOIN field f ON f.id = p.field_id
			LEFT JOIN cropping c ON c.field_id = f.id AND c.season = CAST(strftime('%Y', @to) AS INTEGER)
			GROUP BY p.field_id, h.nutrient ORDER BY f.name`,
		figure: 'kg',
	},
	'product totals': {
		sql: `WITH ${PASSES},
			grounds AS (SELECT product_id, field_id, sum(m2) AS treated, max(m2) AS basic, count(*) AS passes, sum(amount) AS amount,
				sum(on_ground) AS on_ground FROM lines GROUP BY product_id, field_id)
			SELECT p.name AS product, p.formulation, json_extract(p.details, '$.authorisationNo') AS authorisationNo,
				sum(g.amount) / 1e6 AS amount, p.unit,
				sum(g.amount) / 1e6 * iif(p.unit = 'kg', 1, json_extract(p.details, '$.relativeDensity')) AS kg,
				sum(g.treated) / 10000 AS treatedHa, sum(g.basic) / 10000 AS basicHa, sum(g.passes) AS passes,
				sum(g.on_ground) / 100.0 / sum(g.treated) AS meanDose FROM grounds g JOIN product p ON p.id = g.product_id GROUP BY p.id ORDER BY p.name`,
		figure: 'treatedHa',
	},
	'active substance totals': {
		sql: `WITH ${PASSES},
			act AS (SELECT p.id, p.name, lower(json_extract(a.value, '$.substance')) AS substance,
				json_extract(a.value, '$.modeOfAction') AS moa, json_extract(a.value, '$.content') AS g
				FROM product p, json_each(p.details, '$.actives') a),
			passes AS (SELECT a.substance, l.field_id, l.job_id, max(l.m2) AS m2, sum(l.amount * a.g) AS g,
				sum(l.on_ground * a.g) AS ground_g
				FROM lines l JOIN act a ON a.id = l.product_id GROUP BY a.substance, l.field_id, l.job_id),
			grounds AS (SELECT substance, field_id, sum(m2) AS treated, max(m2) AS basic, count(*) AS passes, sum(g) AS g,
				sum(ground_g) AS ground_g FROM passes GROUP BY substance, field_id)
			SELECT s.substance, (SELECT group_concat(DISTINCT moa) FROM act a WHERE a.substance = s.substance) AS modeOfAction,
				sum(s.g) / 1e9 AS kg, sum(s.treated) / 10000 AS treatedHa, sum(s.basic) / 10000 AS basicHa,
				sum(s.passes) AS passes, sum(s.ground_g) / 100.0 / sum(s.treated) AS gPerHa,
				(SELECT group_concat(DISTINCT name) FROM act a WHERE a.substance = s.substance) AS products
			FROM grounds s GROUP BY s.substance ORDER BY s.substance`,
		figure: 'treatedHa',
	},
	'treatment frequency index': {
		sql: `WITH doses AS MATERIALIZED (SELECT p.id, json_extract(l.value, '$.max') AS reference,
				(SELECT json_extract(a.value, '$.modeOfAction') FROM json_each(p.details, '$.actives') a LIMIT 1) AS moa
				FROM product p, json_each(p.details, '$.limits') l WHERE json_extract(l.value, '$.kind') = 'singleDose')
			SELECT f.name AS field, f.code, c.crop, b.area_m2 / 10000 AS areaHa, count(DISTINCT r.job_id) AS treatments,
				sum(iif(d.moa LIKE 'HRAC%', ${ON_GROUND} / 100.0 / r.treated_m2 / d.reference * r.treated_m2 / b.area_m2, 0)) AS herbicide,
				sum(iif(d.moa LIKE 'FRAC%', ${ON_GROUND} / 100.0 / r.treated_m2 / d.reference * r.treated_m2 / b.area_m2, 0)) AS fungicide,
				sum(iif(d.moa LIKE 'IRAC%', ${ON_GROUND} / 100.0 / r.treated_m2 / d.reference * r.treated_m2 / b.area_m2, 0)) AS insecticide,
				sum(${ON_GROUND} / 100.0 / r.treated_m2 / d.reference * r.treated_m2 / b.area_m2) AS "index"
			FROM field f JOIN field_boundary b ON b.id = f.boundary_id
			LEFT JOIN cropping c ON c.field_id = f.id AND c.season = @season
			LEFT JOIN spray_record r ON r.field_id = f.id AND ${STANDS}
			LEFT JOIN doses d ON d.id = r.product_id
			GROUP BY f.id ORDER BY f.name`,
		figure: 'index',
	},
	'stock statement': {
		sql: `SELECT p.name AS product, p.formulation,
				sum(iif(m.occurred_at < @start, m.amount, 0)) / 1e6 AS opening,
				sum(iif(m.occurred_at >= @start AND m.kind = 'delivery', m.amount, 0)) / 1e6 AS delivered,
				-sum(iif(m.occurred_at >= @start AND m.kind IN ('load', 'load reversal'), m.amount, 0)) / 1e6 AS used,
				-sum(iif(m.occurred_at >= @start AND m.kind IN ('disposal', 'mix disposal', 'return', 'spill', 'transfer', 'loan',
					'reversal'), m.amount, 0)) / 1e6 AS otherOut,
				sum(iif(m.occurred_at >= @start AND m.kind = 'count adjustment', m.amount, 0)) / 1e6 AS counted,
				sum(m.amount) / 1e6 AS closing, p.unit,
				(SELECT max(c.freeze_at) FROM stock_count c WHERE c.product_id = p.id AND c.freeze_at BETWEEN @start AND @end) AS countedOn
			FROM movement m JOIN product p ON p.id = m.product_id WHERE m.occurred_at <= @end GROUP BY p.id ORDER BY p.name`,
		figure: 'closing',
	},
	'stock counts': {
		sql: `SELECT strftime('%Y-%m-%d', c.freeze_at / 1000, 'unixepoch') AS date, p.name AS product, c.book / 1e6 AS book,
				c.counted / 1e6 AS counted, (c.counted - c.book) / 1e6 AS difference, c.likely / 1e6 AS likely, p.unit, c.why, c.who AS by
			FROM stock_count c JOIN product p ON p.id = c.product_id WHERE c.freeze_at BETWEEN @start AND @end
			ORDER BY c.freeze_at, c.id`,
		figure: 'counted',
	},
	'container statement': {
		sql: `WITH sealed AS (SELECT lot_id, sum(iif(occurred_at < @start, amount, 0)) AS at_start,
				sum(iif(occurred_at >= @start AND kind = 'delivery', amount, 0)) AS received,
				-sum(iif(occurred_at >= @start AND kind IN ('load', 'load reversal'), amount, 0)) AS poured,
				-sum(iif(occurred_at >= @start AND kind = 'opening', amount, 0)) AS opened,
				sum(iif(occurred_at >= @start AND kind NOT IN ('delivery', 'load', 'load reversal', 'opening'), amount, 0)) AS other
				FROM movement WHERE occurred_at <= @end AND lot_id IS NOT NULL AND container_id IS NULL GROUP BY lot_id),
			open AS (SELECT min(lot_id) AS lot_id, sum(amount) AS remains, max(occurred_at) AS last,
				sum(iif(occurred_at < @start, amount, 0)) AS stood
				FROM movement WHERE occurred_at <= @end AND container_id IS NOT NULL GROUP BY container_id),
			opens AS (SELECT lot_id, sum(stood > 0) AS before, sum(remains > 0) AS still, sum(remains <= 0 AND last >= @start) AS emptied
				FROM open GROUP BY lot_id)
			SELECT p.name AS product, l.pack_size / 1e6 AS size, p.unit, sum(s.at_start) / l.pack_size AS atStart,
				sum(s.received) / l.pack_size AS received, sum(s.poured) / l.pack_size AS pouredWhole,
				sum(s.opened) / l.pack_size AS opened, sum(s.other) / l.pack_size AS other, sum(o.before) AS openAtStart, sum(o.still) AS stillOpen,
				sum(o.emptied) + sum(s.poured) / l.pack_size AS emptied
			FROM lot l JOIN product p ON p.id = l.product_id LEFT JOIN sealed s ON s.lot_id = l.id LEFT JOIN opens o ON o.lot_id = l.id
			GROUP BY l.product_id, l.pack_size ORDER BY p.name, l.pack_size DESC`,
		figure: 'emptied',
	},
	'area statement': {
		sql: `WITH ${PASSES},
			passes AS (SELECT field_id, job_id, max(m2) AS m2 FROM lines GROUP BY field_id, job_id),
			grounds AS (SELECT field_id, sum(m2) AS treated, max(m2) AS basic, count(*) AS passes FROM passes GROUP BY field_id),
			loaded AS (SELECT json_extract(g.value, '$.fieldId') AS field_id, sum(json_extract(g.value, '$.areaHa')) AS ha
				FROM (SELECT DISTINCT l.job_id, l.load_number FROM load_log l
					WHERE l.started_at BETWEEN @start AND @end AND l.state <> 'reversal'
						AND NOT EXISTS (SELECT 1 FROM load_log b WHERE b.reverses = l.id)) l
				JOIN job j ON j.id = l.job_id JOIN json_each(j.plan, '$.loads') p
					ON json_extract(p.value, '$.load') = l.load_number
				JOIN json_each(p.value, '$.ground') g WHERE j.withdrawn_why IS NULL GROUP BY 1)
			SELECT f.name AS field, f.code, c.crop, f.mapped_m2 / 10000 AS mappedHa, b.area_m2 / 10000 AS measuredHa,
				(b.area_m2 - f.mapped_m2) / 10000 AS differenceHa, b.area_m2 / 10000 - coalesce((SELECT sum(s.area_m2)
					FROM field_strip s WHERE s.field_id = f.id AND s.removed_at IS NULL), 0) / 10000 AS loadForHa,
				coalesce(l.ha, 0) AS loadedForHa, g.treated / 10000 AS treatedHa, g.basic / 10000 AS basicHa, g.passes,
				(SELECT m.area_m2 / 10000 FROM field_measurement m WHERE m.field_id = f.id AND m.kind = 'sprayed'
					AND m.taken_on BETWEEN @from AND @to ORDER BY m.taken_on DESC LIMIT 1) AS reportedHa
			FROM field f LEFT JOIN field_boundary b ON b.id = f.boundary_id
			LEFT JOIN cropping c ON c.field_id = f.id AND c.season = @season
			LEFT JOIN grounds g ON g.field_id = f.id LEFT JOIN loaded l ON l.field_id = f.id
			WHERE f.retired_on IS NULL OR f.retired_on > @from ORDER BY f.name`,
		figure: 'loadedForHa',
	},
	'operator log': { sql: `${LOG} ORDER BY l.operator, l.started_at`, figure: 'areaHa' },
	'sprayer log': { sql: `${LOG} ORDER BY s.name, l.started_at`, figure: 'areaHa' },
	'cleaning log': {
		sql: `SELECT s.name AS sprayer, strftime('%Y-%m-%d', c.at / 1000, 'unixepoch') AS date, ${iso('c.at')} AS at, c.kind,
				(SELECT group_concat(p.name, ', ') FROM job_product jp JOIN product p ON p.id = jp.product_id
					WHERE jp.job_id = coalesce(c.job_id, (SELECT l.job_id FROM load_log l JOIN job j ON j.id = l.job_id
						WHERE l.started_at <= c.at AND j.sprayer_id = c.sprayer_id AND j.withdrawn_why IS NULL AND l.state <> 'reversal'
							AND NOT EXISTS (SELECT 1 FROM load_log b WHERE b.reverses = l.id)
						ORDER BY l.started_at DESC LIMIT 1))) AS before,
				coalesce(json_array_length(c.details, '$.rinsesL') || ' rinses, ' || json_extract(c.details, '$.residualL')
					|| ' L left each time', (SELECT group_concat(value, ', ') FROM json_each(c.details, '$.tasks'))) AS done,
				(SELECT sum(value) FROM json_each(c.details, '$.rinsesL')) AS waterL, json_extract(c.details, '$.factor') AS factor,
				json_extract(c.details, '$.washings') AS washings, json_extract(c.details, '$.note') AS note, c.who
			FROM cleaning c JOIN sprayer s ON s.id = c.sprayer_id WHERE c.at BETWEEN @start AND @end ORDER BY c.at, c.id`,
		figure: 'before',
	},
	'incident log': {
		sql: `SELECT strftime('%Y-%m-%d', i.happened_at / 1000, 'unixepoch') AS date, ${iso('i.happened_at')} AS at, i.kind,
				j.name AS job, cast(i.load_number AS TEXT) AS load, p.name AS product, i.amount / 1e6 AS amount, p.unit,
				i.mix_l AS mixL, i.went_to AS wentTo, i.done, i.told, i.who
			FROM incident_entry i LEFT JOIN job j ON j.id = i.job_id LEFT JOIN product p ON p.id = i.product_id
			WHERE i.happened_at BETWEEN @start AND @end AND NOT EXISTS (SELECT 1 FROM incident_entry n
				WHERE n.incident_id = i.incident_id AND n.seq > i.seq) ORDER BY i.happened_at, i.incident_id`,
		figure: 'amount',
	},
	recommendations: {
		sql: `WITH followed AS (SELECT l.recommendation_id, j.id AS job_id, j.name, j.spray_date, l.deviations
				FROM job j JOIN job_recommendation l ON l.job_id = j.id
				WHERE j.spray_date BETWEEN @from AND @to AND j.withdrawn_why IS NULL),
			asked AS (SELECT recommendation_id AS id FROM followed
				UNION SELECT id FROM recommendation WHERE given_on BETWEEN @from AND @to)
			SELECT a.given_on AS givenOn, a.valid_until AS validUntil, a.adviser, a.certificate_no AS certificateNo, a.reference,
				coalesce((SELECT group_concat(json_extract(f.value, '$.name'), ', ') FROM json_each(a.details, '$.fields') f),
					'all ' || json_extract(a.details, '$.crop')) AS ground,
				(SELECT group_concat(json_extract(p.value, '$.dosePerHa') || ' ' || json_extract(p.value, '$.unit') || '/ha '
					|| json_extract(p.value, '$.name'), ', ') FROM json_each(a.details, '$.products') p)
					|| coalesce(' in ' || json_extract(a.details, '$.sprayVolumeLPerHa') || ' L/ha', '') AS products,
				w.why AS withdrawn, f.name AS job, f.spray_date AS sprayDate,
				coalesce(nullif(concat_ws(' ', (SELECT group_concat(json_extract(d.value, '$.say'), ' ') FROM json_each(f.deviations) d),
					(SELECT group_concat('Sprayed on ' || day || ', when it no longer held.', ' ')
						FROM (SELECT DISTINCT r.spray_date AS day FROM spray_record r WHERE r.job_id = f.job_id
							AND r.spray_date > a.valid_until AND r.state = 'current' AND NOT EXISTS (SELECT 1 FROM spray_record n
								WHERE n.record_id = r.record_id AND n.version > r.version)))), ''), iif(f.job_id IS NULL, NULL, 'followed'))
					AS deviations
			FROM asked s JOIN recommendation a ON a.id = s.id LEFT JOIN recommendation_withdrawal w ON w.recommendation_id = a.id
			LEFT JOIN followed f ON f.recommendation_id = a.id ORDER BY a.given_on, a.id, f.spray_date, f.name`,
		figure: 'ground',
	},
	'US application list': {
		sql: `SELECT r.spray_date AS date, ${iso('min(r.started_at)')} AS startedAt, ${iso('max(r.finished_at)')} AS finishedAt,
				r.product_name AS product, group_concat(DISTINCT ${detail('authorisationNo')}) AS registrationNo,
				sum(r.amount) / 1e6 AS amount, r.unit, r.field_name AS field, f.code, sum(r.treated_m2) / 4046.8564224 AS acres,
				sum(r.treated_m2) / 10000 AS areaHa, group_concat(DISTINCT ${detail('crop')}) AS crop,
				group_concat(DISTINCT ${detail('operator')}) AS applicator,
				group_concat(DISTINCT ${detail('certificateNo')}) AS certificateNo,
				(substr(r.spray_date, 1, 4) + 2) || '-12-31' AS keepUntil,
				max(iif(${detail('authorisationNo')} IS NULL, 'authorisation number', NULL)) AS missing
			FROM spray_record r JOIN field f ON f.id = r.field_id WHERE ${STANDS}
			GROUP BY r.spray_date, r.job_id, r.field_id, r.product_id ORDER BY r.spray_date, min(r.started_at)`,
		figure: 'amount',
	},
};
