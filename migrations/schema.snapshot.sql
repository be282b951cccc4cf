CREATE TABLE audit (
  id TEXT NOT NULL PRIMARY KEY,
  seq INTEGER NOT NULL UNIQUE,
  at INTEGER NOT NULL,
  procedure TEXT NOT NULL,
  command_key TEXT NOT NULL CHECK (length(command_key) BETWEEN 1 AND 100),
  input_hash TEXT NOT NULL,
  input TEXT NOT NULL,
  output TEXT NOT NULL,
  changes TEXT NOT NULL,
  who TEXT NOT NULL,
  farm_id TEXT NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  program TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  UNIQUE (procedure, command_key)
) STRICT;

CREATE TABLE chain (
  name TEXT NOT NULL PRIMARY KEY CHECK (name IN ('audit', 'ledger', 'records')),
  seq INTEGER NOT NULL CHECK (seq >= 0),
  hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

CREATE TABLE cleaning (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  sprayer_id TEXT NOT NULL REFERENCES sprayer (id),
  kind TEXT NOT NULL CHECK (kind IN ('after filling', 'sprayer rinsed out')),
  job_id TEXT REFERENCES job (id),
  load_number INTEGER CHECK (load_number > 0),
  at INTEGER NOT NULL,
  details TEXT NOT NULL,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

CREATE TABLE closed_space (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  kind TEXT NOT NULL CHECK (kind IN ('grain store', 'silo or bin', 'potato store', 'fruit or vegetable store', 'glasshouse', 'mushroom house', 'warehouse', 'other closed space')),
  floor_m2 REAL CHECK (floor_m2 > 0),
  volume_m3 REAL CHECK (volume_m3 > 0),
  details TEXT NOT NULL,
  removed_at INTEGER,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;

CREATE TABLE container (
  id TEXT NOT NULL PRIMARY KEY,
  lot_id TEXT NOT NULL REFERENCES lot (id),
  opened_at INTEGER NOT NULL
) STRICT;

CREATE TABLE container_rinse (
  id TEXT NOT NULL PRIMARY KEY,
  load_log_id TEXT NOT NULL REFERENCES load_log (id),
  how TEXT NOT NULL CHECK (how IN ('by hand three times', 'pressure', 'integrated', 'not rinsed')),
  who TEXT NOT NULL,
  noted_at INTEGER NOT NULL
) STRICT;

CREATE TABLE cropping (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  season INTEGER NOT NULL,
  crop TEXT NOT NULL,
  eppo_code TEXT,
  variety TEXT,
  sown_on TEXT,
  harvest_on TEXT,
  version INTEGER NOT NULL,
  UNIQUE (field_id, season)
) STRICT;

CREATE TABLE document (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  product_id TEXT REFERENCES product (id),
  kind TEXT NOT NULL CHECK (kind IN ('label', 'safety data sheet', 'other', 'store plan')),
  name TEXT NOT NULL CHECK (length(name) > 0),
  type TEXT NOT NULL CHECK (type IN ('pdf', 'png', 'jpeg')),
  issued_on TEXT,
  bytes INTEGER NOT NULL CHECK (bytes > 0),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
  content BLOB NOT NULL,
  replaces TEXT UNIQUE REFERENCES document (id),
  added_at INTEGER NOT NULL,
  who TEXT NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
, store_id TEXT REFERENCES store (id)) STRICT;

CREATE TABLE document_put_aside (
  document_id TEXT NOT NULL PRIMARY KEY REFERENCES document (id),
  why TEXT NOT NULL,
  who TEXT NOT NULL,
  at INTEGER NOT NULL
) STRICT;

CREATE TABLE empties_count (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  counted_on TEXT NOT NULL,
  size INTEGER NOT NULL CHECK (size > 0),
  unit TEXT NOT NULL CHECK (unit IN ('L', 'kg')),
  pieces INTEGER NOT NULL CHECK (pieces >= 0),
  book INTEGER NOT NULL,
  why TEXT,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

CREATE TABLE farm (
  id TEXT NOT NULL PRIMARY KEY,
  name TEXT,
  zone TEXT NOT NULL,
  season_start_month INTEGER NOT NULL CHECK (season_start_month BETWEEN 1 AND 12),
  rule_set TEXT NOT NULL,
  measure_step INTEGER NOT NULL CHECK (measure_step > 0),
  meter_error_percent REAL NOT NULL CHECK (meter_error_percent >= 0),
  operator TEXT,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0)
, background TEXT, display_units TEXT CHECK (display_units IN ('metric', 'US customary'))) STRICT;

CREATE TABLE field (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  code TEXT,
  mapped_m2 REAL CHECK (mapped_m2 > 0),
  mapped_step_m2 REAL CHECK (mapped_step_m2 > 0),
  mapped_source TEXT,
  mapped_on TEXT,
  boundary_id TEXT,
  load_for_basis TEXT CHECK (load_for_basis IN ('boundary', 'mapped', 'typed', 'sprayed')),
  load_for_m2 REAL CHECK (load_for_m2 > 0),
  load_for_why TEXT,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0)
, retired_on TEXT) STRICT;

CREATE TABLE field_boundary (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  geometry TEXT NOT NULL,
  area_m2 REAL NOT NULL CHECK (area_m2 > 0),
  sigma_m2 REAL NOT NULL CHECK (sigma_m2 >= 0),
  perimeter_m REAL NOT NULL CHECK (perimeter_m > 0),
  vertex_count INTEGER NOT NULL,
  west REAL NOT NULL,
  south REAL NOT NULL,
  east REAL NOT NULL,
  north REAL NOT NULL,
  crs TEXT NOT NULL,
  grid_scale_ppm REAL,
  source TEXT NOT NULL,
  taken_on TEXT NOT NULL,
  created_at INTEGER NOT NULL
) STRICT;

CREATE TABLE field_condition (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  condition TEXT NOT NULL CHECK (length(condition) > 0),
  holds INTEGER NOT NULL CHECK (holds IN (0, 1)),
  created_at INTEGER NOT NULL,
  ended_at INTEGER CHECK (ended_at >= created_at)
) STRICT;

CREATE TABLE field_limit (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  nutrient TEXT NOT NULL CHECK (nutrient IN ('N', 'P2O5', 'K2O', 'MgO', 'SO3')),
  crop TEXT CHECK (length(crop) > 0),
  max_kg_per_ha REAL NOT NULL CHECK (max_kg_per_ha >= 0),
  per TEXT NOT NULL CHECK (per IN ('crop', 'season', 'calendar year', '12 months')),
  source TEXT NOT NULL,
  from_memory INTEGER NOT NULL CHECK (from_memory IN (0, 1)),
  warns_only INTEGER NOT NULL CHECK (warns_only IN (0, 1)),
  created_at INTEGER NOT NULL,
  ended_at INTEGER CHECK (ended_at >= created_at)
) STRICT;

CREATE TABLE field_lineage (
  id TEXT NOT NULL PRIMARY KEY,
  parent_id TEXT NOT NULL REFERENCES field (id),
  child_id TEXT NOT NULL REFERENCES field (id),
  kind TEXT NOT NULL CHECK (kind IN ('split', 'merge')),
  shared_m2 REAL NOT NULL CHECK (shared_m2 > 0),
  happened_on TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  UNIQUE (parent_id, child_id)
) STRICT;

CREATE TABLE field_measurement (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  kind TEXT NOT NULL CHECK (kind IN ('typed', 'sprayed')),
  area_m2 REAL NOT NULL CHECK (area_m2 > 0),
  sigma_m2 REAL CHECK (sigma_m2 >= 0),
  taken_on TEXT NOT NULL,
  source TEXT NOT NULL,
  job_id TEXT,
  created_at INTEGER NOT NULL
, with_overlap INTEGER CHECK (with_overlap IN (0, 1))) STRICT;

CREATE TABLE field_strip (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  kind TEXT NOT NULL CHECK (kind IN ('strip', 'obstacle')),
  label TEXT NOT NULL,
  width_m REAL CHECK (width_m > 0),
  area_m2 REAL NOT NULL CHECK (area_m2 > 0),
  geometry TEXT,
  created_at INTEGER NOT NULL,
  removed_at INTEGER,
  removed_why TEXT
) STRICT;

CREATE TABLE fill_log (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  job_id TEXT NOT NULL REFERENCES job (id),
  load_number INTEGER NOT NULL CHECK (load_number > 0),
  sprayer_id TEXT NOT NULL REFERENCES sprayer (id),
  started_at INTEGER NOT NULL,
  finished_at INTEGER NOT NULL,
  metered_l REAL NOT NULL CHECK (metered_l >= 0),
  running_s REAL NOT NULL CHECK (running_s >= 0),
  stops_s TEXT NOT NULL,
  containers INTEGER NOT NULL CHECK (containers >= 0),
  handling_s REAL CHECK (handling_s > 0),
  handled INTEGER CHECK (handled > 0),
  operator TEXT NOT NULL,
  last_seq INTEGER NOT NULL CHECK (last_seq > 0),
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  CHECK (finished_at >= started_at)
) STRICT;

CREATE TABLE "fill_step" (
  id TEXT NOT NULL PRIMARY KEY,
  job_id TEXT NOT NULL REFERENCES job (id),
  load_number INTEGER NOT NULL CHECK (load_number > 0),
  seq INTEGER NOT NULL CHECK (seq > 0),
  at INTEGER NOT NULL,
  what TEXT NOT NULL CHECK (what IN ('begun', 'inlet opened', 'inlet stopped', 'container done', 'meter read', 'everything stopped', 'went on', 'started over', 'undo')),
  container INTEGER CHECK (container > 0),
  metered_l REAL CHECK (metered_l >= 0),
  undoes TEXT REFERENCES "fill_step" (id),
  who TEXT NOT NULL,
  noted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  UNIQUE (job_id, load_number, seq)
) STRICT;

CREATE TABLE incident_entry (
  id TEXT NOT NULL PRIMARY KEY,
  incident_id TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  farm_id TEXT NOT NULL REFERENCES farm (id),
  job_id TEXT REFERENCES job (id),
  load_number INTEGER CHECK (load_number > 0),
  kind TEXT NOT NULL CHECK (kind IN ('overflow', 'foam over the side', 'spill', 'splash', 'leak', 'blocked foil')),
  happened_at INTEGER NOT NULL,
  product_id TEXT REFERENCES product (id),
  amount INTEGER CHECK (amount > 0),
  mix_l REAL CHECK (mix_l >= 0),
  went_to TEXT,
  done TEXT,
  told TEXT,
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL, withdrawn_why TEXT CHECK (length(withdrawn_why) > 0),
  UNIQUE (incident_id, seq)
) STRICT;

CREATE TABLE "job" (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  code TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('spray in water', 'spray in liquid fertiliser', 'neat liquid', 'granules', 'seed treatment', 'closed space')),
  sprayer_id TEXT NOT NULL REFERENCES sprayer (id),
  space_id TEXT REFERENCES closed_space (id),
  spray_date TEXT NOT NULL,
  spray_volume REAL NOT NULL CHECK (spray_volume >= 0),
  details TEXT NOT NULL,
  plan TEXT NOT NULL,
  closing TEXT,
  withdrawn_why TEXT,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK ((spray_volume > 0) = (kind NOT IN ('granules', 'seed treatment', 'closed space'))),
  CHECK (kind <> 'closed space' OR space_id IS NOT NULL)
) STRICT;

CREATE TABLE job_field (
  job_id TEXT NOT NULL REFERENCES job (id),
  field_id TEXT NOT NULL REFERENCES field (id),
  position INTEGER NOT NULL,
  area_m2 REAL NOT NULL CHECK (area_m2 > 0),
  area_basis TEXT NOT NULL,
  PRIMARY KEY (job_id, field_id)
) STRICT;

CREATE TABLE job_product (
  job_id TEXT NOT NULL REFERENCES job (id),
  product_id TEXT NOT NULL REFERENCES product (id),
  position INTEGER NOT NULL,
  dose REAL NOT NULL CHECK (dose > 0),
  PRIMARY KEY (job_id, product_id)
) STRICT;

CREATE TABLE job_recommendation (
  job_id TEXT NOT NULL PRIMARY KEY REFERENCES job (id),
  recommendation_id TEXT NOT NULL REFERENCES recommendation (id),
  deviations TEXT NOT NULL
) STRICT;

CREATE TABLE job_space (
  job_id TEXT NOT NULL REFERENCES job (id),
  space_id TEXT NOT NULL REFERENCES closed_space (id),
  position INTEGER NOT NULL,
  name TEXT NOT NULL CHECK (length(name) > 0),
  PRIMARY KEY (job_id, space_id)
) STRICT;

CREATE TABLE load_log (
  id TEXT NOT NULL PRIMARY KEY,
  job_id TEXT NOT NULL REFERENCES job (id),
  load_number INTEGER NOT NULL CHECK (load_number > 0),
  state TEXT NOT NULL CHECK (state IN ('complete', 'stopped', 'reversal')),
  reverses TEXT UNIQUE REFERENCES load_log (id),
  started_at INTEGER NOT NULL,
  finished_at INTEGER NOT NULL CHECK (finished_at >= started_at),
  operator TEXT NOT NULL,
  metered_l REAL CHECK (metered_l >= 0),
  confirmed INTEGER NOT NULL CHECK (confirmed IN (0, 1)),
  details TEXT NOT NULL,
  posted_at INTEGER NOT NULL
) STRICT;

CREATE TABLE lot (
  id TEXT NOT NULL PRIMARY KEY,
  product_id TEXT NOT NULL REFERENCES product (id),
  pack_size INTEGER NOT NULL CHECK (pack_size > 0 AND pack_size <= 9007199254740991),
  batch TEXT,
  expires TEXT,
  created_at INTEGER NOT NULL
) STRICT;

CREATE TABLE movement (
  id TEXT NOT NULL PRIMARY KEY,
  seq INTEGER NOT NULL UNIQUE,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  event_id TEXT NOT NULL,
  product_id TEXT NOT NULL REFERENCES product (id),
  kind TEXT NOT NULL CHECK (kind IN ('delivery', 'opening', 'load', 'load reversal', 'count adjustment', 'disposal', 'mix disposal', 'return', 'spill', 'transfer', 'loan', 'reversal')),
  amount INTEGER NOT NULL CHECK (amount <> 0 AND abs(amount) <= 9007199254740991),
  lot_id TEXT REFERENCES lot (id),
  container_id TEXT REFERENCES container (id),
  occurred_at INTEGER NOT NULL,
  posted_at INTEGER NOT NULL,
  who TEXT NOT NULL,
  why TEXT,
  document TEXT,
  price REAL,
  job_id TEXT,
  load_log_id TEXT,
  load_number INTEGER,
  count_id TEXT,
  reverses TEXT REFERENCES movement (id),
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64)
, store_id TEXT REFERENCES store (id)) STRICT;

CREATE TABLE operator (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  certificate_no TEXT,
  certificate_until TEXT,
  removed_at INTEGER,
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;

CREATE TABLE product (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  formulation TEXT NOT NULL,
  unit TEXT NOT NULL CHECK (unit IN ('L', 'kg')),
  details TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  UNIQUE (farm_id, name, formulation)
) STRICT;

CREATE TABLE "recipe" (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  kind TEXT NOT NULL CHECK (kind IN ('spray in water', 'spray in liquid fertiliser', 'neat liquid', 'granules', 'seed treatment', 'closed space')),
  spray_volume REAL NOT NULL CHECK (spray_volume >= 0),
  products TEXT NOT NULL,
  details TEXT,
  created_at INTEGER NOT NULL,
  removed_at INTEGER,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK ((spray_volume > 0) = (kind IN ('spray in water', 'spray in liquid fertiliser')))
) STRICT;

CREATE TABLE recommendation (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  adviser TEXT NOT NULL CHECK (length(adviser) > 0),
  certificate_no TEXT,
  reference TEXT,
  given_on TEXT NOT NULL,
  valid_until TEXT NOT NULL,
  details TEXT NOT NULL,
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  CHECK (valid_until >= given_on)
) STRICT;

CREATE TABLE recommendation_withdrawal (
  recommendation_id TEXT NOT NULL PRIMARY KEY REFERENCES recommendation (id),
  why TEXT NOT NULL CHECK (length(why) > 0),
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

CREATE TABLE seal_bag (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  closed_on TEXT NOT NULL,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL
) STRICT;

CREATE TABLE seed_sowing (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  job_id TEXT NOT NULL REFERENCES job (id),
  field_id TEXT NOT NULL REFERENCES field (id),
  area_m2 REAL NOT NULL CHECK (area_m2 > 0),
  seed REAL NOT NULL CHECK (seed > 0),
  sown_on TEXT NOT NULL,
  season INTEGER NOT NULL,
  reverses TEXT UNIQUE REFERENCES seed_sowing (id),
  note TEXT,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

CREATE TABLE "spray_record" (
  id TEXT NOT NULL PRIMARY KEY,
  seq INTEGER NOT NULL UNIQUE,
  record_id TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  state TEXT NOT NULL CHECK (state IN ('current', 'reversed')),
  farm_id TEXT NOT NULL REFERENCES farm (id),
  job_id TEXT NOT NULL REFERENCES job (id),
  load_log_id TEXT NOT NULL REFERENCES load_log (id),
  load_number INTEGER NOT NULL,
  spray_date TEXT NOT NULL,
  season INTEGER NOT NULL,
  field_id TEXT REFERENCES field (id),
  field_name TEXT NOT NULL,
  product_id TEXT NOT NULL REFERENCES product (id),
  product_name TEXT NOT NULL,
  unit TEXT NOT NULL CHECK (unit IN ('L', 'kg')),
  treated_m2 REAL NOT NULL CHECK (treated_m2 >= 0),
  amount INTEGER NOT NULL CHECK (amount >= 0 AND amount <= 9007199254740991),
  started_at INTEGER NOT NULL,
  finished_at INTEGER NOT NULL,
  confirmed INTEGER NOT NULL CHECK (confirmed IN (0, 1)),
  details TEXT NOT NULL,
  why TEXT,
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  washings_id TEXT REFERENCES washings (id),
  washed_m2 REAL CHECK (washed_m2 > 0),
  UNIQUE (record_id, version),
  CHECK ((washings_id IS NULL) = (washed_m2 IS NULL)),
  CHECK (CASE WHEN washings_id IS NULL THEN (field_id IS NULL) = (treated_m2 = 0)
    ELSE field_id IS NOT NULL AND treated_m2 IN (0, washed_m2) END)
) STRICT;

CREATE TABLE "sprayer" (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  kind TEXT NOT NULL CHECK (kind IN ('sprayer', 'granule applicator', 'seed treater', 'indoor applicator')),
  capacity_l REAL NOT NULL CHECK (capacity_l >= 0),
  minimum_l REAL NOT NULL CHECK (minimum_l >= 0),
  hopper_kg REAL CHECK (hopper_kg > 0),
  details TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK (kind <> 'sprayer' OR capacity_l > 0),
  CHECK (kind <> 'granule applicator' OR hopper_kg IS NOT NULL)
) STRICT;

CREATE TABLE stock_count (
  id TEXT NOT NULL PRIMARY KEY,
  product_id TEXT NOT NULL REFERENCES product (id),
  freeze_at INTEGER NOT NULL,
  counted INTEGER NOT NULL CHECK (counted >= 0),
  book INTEGER NOT NULL,
  likely INTEGER NOT NULL CHECK (likely >= 0),
  why TEXT NOT NULL,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL
, take_id TEXT REFERENCES stock_take (id), sigma INTEGER CHECK (sigma >= 0), store_id TEXT REFERENCES store (id)) STRICT;

CREATE TABLE stock_take (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  freeze_at INTEGER NOT NULL,
  blind INTEGER NOT NULL CHECK (blind IN (0, 1)),
  opened_at INTEGER NOT NULL,
  opened_by TEXT NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
, store_id TEXT REFERENCES store (id)) STRICT;

CREATE TABLE stock_take_end (
  take_id TEXT NOT NULL PRIMARY KEY REFERENCES stock_take (id),
  outcome TEXT NOT NULL CHECK (outcome IN ('approved', 'dropped')),
  why TEXT,
  who TEXT NOT NULL,
  ended_at INTEGER NOT NULL
) STRICT;

CREATE TABLE stock_take_entry (
  id TEXT NOT NULL PRIMARY KEY,
  take_id TEXT NOT NULL REFERENCES stock_take (id),
  product_id TEXT NOT NULL REFERENCES product (id),
  place TEXT NOT NULL,
  full_packs TEXT NOT NULL,
  parts TEXT NOT NULL,
  counted INTEGER NOT NULL CHECK (counted >= 0 AND counted <= 9007199254740991),
  sigma INTEGER NOT NULL CHECK (sigma >= 0),
  who TEXT NOT NULL,
  entered_at INTEGER NOT NULL
) STRICT;

CREATE TABLE stock_take_verdict (
  id TEXT NOT NULL PRIMARY KEY,
  take_id TEXT NOT NULL REFERENCES stock_take (id),
  product_id TEXT NOT NULL REFERENCES product (id),
  verdict TEXT NOT NULL CHECK (verdict IN ('accepted', 'open')),
  why TEXT NOT NULL,
  who TEXT NOT NULL,
  said_at INTEGER NOT NULL
) STRICT;

CREATE TABLE store (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  place TEXT NOT NULL,
  contacts TEXT NOT NULL,
  bund_l REAL CHECK (bund_l >= 0),
  sensitive INTEGER NOT NULL CHECK (sensitive IN (0, 1)),
  plan TEXT,
  closed INTEGER NOT NULL CHECK (closed IN (0, 1)),
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;

CREATE TABLE washings (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  job_id TEXT NOT NULL REFERENCES job (id),
  load_log_id TEXT NOT NULL REFERENCES load_log (id),
  sprayer_id TEXT NOT NULL REFERENCES sprayer (id),
  reverses TEXT UNIQUE REFERENCES washings (id),
  started_at INTEGER NOT NULL,
  finished_at INTEGER NOT NULL CHECK (finished_at >= started_at),
  left_l REAL NOT NULL CHECK (left_l > 0),
  residual_l REAL NOT NULL CHECK (residual_l >= 0),
  mix_l REAL NOT NULL CHECK (mix_l > 0),
  sprayed_l REAL NOT NULL CHECK (sprayed_l > 0),
  details TEXT NOT NULL,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

CREATE TABLE waste_collection (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  collected_on TEXT NOT NULL,
  carrier TEXT NOT NULL CHECK (length(carrier) > 0),
  registration_no TEXT NOT NULL CHECK (length(registration_no) > 0),
  note_no TEXT NOT NULL CHECK (length(note_no) > 0),
  keep_until TEXT NOT NULL,
  reverses TEXT UNIQUE REFERENCES waste_collection (id),
  why TEXT,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL
) STRICT;

CREATE TABLE waste_collection_line (
  collection_id TEXT NOT NULL REFERENCES waste_collection (id),
  position INTEGER NOT NULL,
  kind TEXT NOT NULL,
  code TEXT NOT NULL,
  size INTEGER CHECK (size > 0),
  unit TEXT CHECK (unit IN ('L', 'kg')),
  pieces INTEGER NOT NULL CHECK (pieces > 0), product_id TEXT REFERENCES product (id) CHECK (product_id IS NULL OR size IS NOT NULL),
  PRIMARY KEY (collection_id, position)
) STRICT;

CREATE INDEX cleaning_by_sprayer ON cleaning (sprayer_id, at);

CREATE INDEX cleaning_by_time ON cleaning (at);

CREATE UNIQUE INDEX closed_space_by_name ON closed_space (name) WHERE removed_at IS NULL;

CREATE INDEX container_by_lot ON container (lot_id);

CREATE INDEX container_rinse_by_load ON container_rinse (load_log_id);

CREATE INDEX document_by_product ON document (product_id);

CREATE INDEX empties_count_by_size ON empties_count (size, unit);

CREATE INDEX field_boundary_by_field ON field_boundary (field_id);

CREATE INDEX field_by_code ON field (code);

CREATE INDEX field_by_name ON field (name);

CREATE UNIQUE INDEX field_condition_in_force ON field_condition (field_id, lower(condition)) WHERE ended_at IS NULL;

CREATE UNIQUE INDEX field_limit_in_force ON field_limit (field_id, nutrient, ifnull(crop, '')) WHERE ended_at IS NULL;

CREATE INDEX field_lineage_by_child ON field_lineage (child_id);

CREATE INDEX field_measurement_by_field ON field_measurement (field_id);

CREATE INDEX field_strip_by_field ON field_strip (field_id);

CREATE INDEX fill_log_by_load ON fill_log (job_id, load_number);

CREATE INDEX fill_log_by_sprayer ON fill_log (sprayer_id, started_at);

CREATE INDEX incident_entry_by_load ON incident_entry (job_id, load_number);

CREATE INDEX incident_entry_by_time ON incident_entry (happened_at);

CREATE INDEX job_by_date ON job (spray_date);

CREATE INDEX job_field_by_field ON job_field (field_id);

CREATE INDEX job_recommendation_by_recommendation ON job_recommendation (recommendation_id);

CREATE INDEX job_space_by_space ON job_space (space_id);

CREATE INDEX load_log_by_job ON load_log (job_id, load_number);

CREATE INDEX load_log_by_time ON load_log (started_at);

CREATE INDEX lot_by_product ON lot (product_id);

CREATE INDEX movement_by_load ON movement (load_log_id);

CREATE INDEX movement_by_product ON movement (product_id, occurred_at, amount, lot_id, container_id, store_id);

CREATE INDEX movement_by_time ON movement (occurred_at);

CREATE INDEX movement_handed_out ON movement (product_id, kind, amount) WHERE kind IN ('loan', 'transfer');

CREATE UNIQUE INDEX movement_reversed_once ON movement (reverses) WHERE reverses IS NOT NULL;

CREATE UNIQUE INDEX recipe_by_name ON recipe (name) WHERE removed_at IS NULL;

CREATE INDEX seed_sowing_by_field ON seed_sowing (field_id, sown_on);

CREATE INDEX seed_sowing_by_job ON seed_sowing (job_id);

CREATE INDEX spray_record_by_date ON spray_record (spray_date, field_id, product_id, amount, treated_m2);

CREATE INDEX spray_record_by_field ON spray_record (field_id, spray_date);

CREATE INDEX spray_record_by_job ON spray_record (job_id);

CREATE INDEX spray_record_by_load ON spray_record (load_log_id);

CREATE INDEX stock_count_by_product ON stock_count (product_id, freeze_at);

CREATE INDEX stock_take_entry_by_product ON stock_take_entry (product_id, entered_at);

CREATE INDEX stock_take_entry_by_take ON stock_take_entry (take_id, product_id);

CREATE INDEX stock_take_verdict_by_take ON stock_take_verdict (take_id, product_id);

CREATE INDEX washings_by_job ON washings (job_id);

CREATE TRIGGER audit_no_delete BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'audit lines only grow'); END;

CREATE TRIGGER audit_no_update BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'audit lines only grow'); END;

CREATE TRIGGER cleaning_no_delete BEFORE DELETE ON cleaning BEGIN SELECT RAISE(ABORT, 'cleaning only grows'); END;

CREATE TRIGGER cleaning_no_update BEFORE UPDATE ON cleaning BEGIN SELECT RAISE(ABORT, 'cleaning only grows'); END;

CREATE TRIGGER container_rinse_no_delete BEFORE DELETE ON container_rinse BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER container_rinse_no_update BEFORE UPDATE ON container_rinse BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER document_no_delete BEFORE DELETE ON document BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;

CREATE TRIGGER document_no_update BEFORE UPDATE ON document BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;

CREATE TRIGGER document_put_aside_no_delete BEFORE DELETE ON document_put_aside BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;

CREATE TRIGGER document_put_aside_no_update BEFORE UPDATE ON document_put_aside BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;

CREATE TRIGGER empties_count_no_delete BEFORE DELETE ON empties_count BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER empties_count_no_update BEFORE UPDATE ON empties_count BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER field_boundary_no_delete BEFORE DELETE ON field_boundary BEGIN SELECT RAISE(ABORT, 'boundaries only grow'); END;

CREATE TRIGGER field_boundary_no_update BEFORE UPDATE ON field_boundary BEGIN SELECT RAISE(ABORT, 'boundaries only grow'); END;

CREATE TRIGGER field_condition_ends_once BEFORE UPDATE ON field_condition
  WHEN old.ended_at IS NOT NULL OR new.ended_at IS NULL OR (new.id, new.field_id, new.condition, new.holds, new.created_at)
    IS NOT (old.id, old.field_id, old.condition, old.holds, old.created_at)
  BEGIN SELECT RAISE(ABORT, 'answers about ground only grow: one can only end'); END;

CREATE TRIGGER field_condition_no_delete BEFORE DELETE ON field_condition BEGIN SELECT RAISE(ABORT, 'answers about ground only grow'); END;

CREATE TRIGGER field_limit_ends_once BEFORE UPDATE ON field_limit
  WHEN old.ended_at IS NOT NULL OR new.ended_at IS NULL OR (new.id, new.field_id, new.nutrient, new.crop, new.max_kg_per_ha, new.per, new.source, new.from_memory, new.warns_only, new.created_at)
    IS NOT (old.id, old.field_id, old.nutrient, old.crop, old.max_kg_per_ha, old.per, old.source, old.from_memory, old.warns_only, old.created_at)
  BEGIN SELECT RAISE(ABORT, 'limits of fields only grow: one can only end'); END;

CREATE TRIGGER field_limit_no_delete BEFORE DELETE ON field_limit BEGIN SELECT RAISE(ABORT, 'limits of fields only grow'); END;

CREATE TRIGGER field_lineage_no_delete BEFORE DELETE ON field_lineage BEGIN SELECT RAISE(ABORT, 'lineage only grows'); END;

CREATE TRIGGER field_lineage_no_update BEFORE UPDATE ON field_lineage BEGIN SELECT RAISE(ABORT, 'lineage only grows'); END;

CREATE TRIGGER fill_log_no_delete BEFORE DELETE ON fill_log BEGIN SELECT RAISE(ABORT, 'fill logs only grow'); END;

CREATE TRIGGER fill_log_no_update BEFORE UPDATE ON fill_log BEGIN SELECT RAISE(ABORT, 'fill logs only grow'); END;

CREATE TRIGGER fill_step_no_delete BEFORE DELETE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;

CREATE TRIGGER fill_step_no_update BEFORE UPDATE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;

CREATE TRIGGER incident_entry_no_delete BEFORE DELETE ON incident_entry BEGIN SELECT RAISE(ABORT, 'incidents only grow'); END;

CREATE TRIGGER incident_entry_no_update BEFORE UPDATE ON incident_entry BEGIN SELECT RAISE(ABORT, 'incidents only grow'); END;

CREATE TRIGGER job_recommendation_no_delete BEFORE DELETE ON job_recommendation BEGIN SELECT RAISE(ABORT, 'what a job was planned from only grows'); END;

CREATE TRIGGER job_recommendation_no_update BEFORE UPDATE ON job_recommendation BEGIN SELECT RAISE(ABORT, 'what a job was planned from only grows'); END;

CREATE TRIGGER load_log_no_delete BEFORE DELETE ON load_log BEGIN SELECT RAISE(ABORT, 'load logs only grow'); END;

CREATE TRIGGER load_log_no_update BEFORE UPDATE ON load_log BEGIN SELECT RAISE(ABORT, 'load logs only grow'); END;

CREATE TRIGGER movement_no_delete BEFORE DELETE ON movement BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;

CREATE TRIGGER movement_no_update BEFORE UPDATE ON movement BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;

CREATE TRIGGER recommendation_no_delete BEFORE DELETE ON recommendation BEGIN SELECT RAISE(ABORT, 'recommendations only grow'); END;

CREATE TRIGGER recommendation_no_update BEFORE UPDATE ON recommendation BEGIN SELECT RAISE(ABORT, 'recommendations only grow'); END;

CREATE TRIGGER recommendation_withdrawal_no_delete BEFORE DELETE ON recommendation_withdrawal BEGIN SELECT RAISE(ABORT, 'withdrawals only grow'); END;

CREATE TRIGGER recommendation_withdrawal_no_update BEFORE UPDATE ON recommendation_withdrawal BEGIN SELECT RAISE(ABORT, 'withdrawals only grow'); END;

CREATE TRIGGER seal_bag_no_delete BEFORE DELETE ON seal_bag BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER seal_bag_no_update BEFORE UPDATE ON seal_bag BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER seed_sowing_no_delete BEFORE DELETE ON seed_sowing BEGIN SELECT RAISE(ABORT, 'sowings only grow'); END;

CREATE TRIGGER seed_sowing_no_update BEFORE UPDATE ON seed_sowing BEGIN SELECT RAISE(ABORT, 'sowings only grow'); END;

CREATE TRIGGER spray_record_no_delete BEFORE DELETE ON spray_record BEGIN SELECT RAISE(ABORT, 'spray records only grow'); END;

CREATE TRIGGER spray_record_no_update BEFORE UPDATE ON spray_record BEGIN SELECT RAISE(ABORT, 'spray records only grow'); END;

CREATE TRIGGER stock_count_no_delete BEFORE DELETE ON stock_count BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_count_no_update BEFORE UPDATE ON stock_count BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_end_no_delete BEFORE DELETE ON stock_take_end BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_end_no_update BEFORE UPDATE ON stock_take_end BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_entry_no_delete BEFORE DELETE ON stock_take_entry BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_entry_no_update BEFORE UPDATE ON stock_take_entry BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_no_delete BEFORE DELETE ON stock_take BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_no_update BEFORE UPDATE ON stock_take BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_verdict_no_delete BEFORE DELETE ON stock_take_verdict BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER stock_take_verdict_no_update BEFORE UPDATE ON stock_take_verdict BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;

CREATE TRIGGER washings_no_delete BEFORE DELETE ON washings BEGIN SELECT RAISE(ABORT, 'washings only grow'); END;

CREATE TRIGGER washings_no_update BEFORE UPDATE ON washings BEGIN SELECT RAISE(ABORT, 'washings only grow'); END;

CREATE TRIGGER waste_collection_line_no_delete BEFORE DELETE ON waste_collection_line BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER waste_collection_line_no_update BEFORE UPDATE ON waste_collection_line BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER waste_collection_no_delete BEFORE DELETE ON waste_collection BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;

CREATE TRIGGER waste_collection_no_update BEFORE UPDATE ON waste_collection BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
