-- Jobs without a tank of water: granules, seed treatment, neat liquid, liquid fertiliser as the carrier.
-- Tables are rebuilt where a check has to give way; indexes and triggers go with a table and are written again.

-- Machines beside sprayers: an applicator holds kilograms, a treater may take any amount of seed.
CREATE TABLE sprayer_rebuilt (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  kind TEXT NOT NULL CHECK (kind IN ('sprayer', 'granule applicator', 'seed treater')),
  capacity_l REAL NOT NULL CHECK (capacity_l >= 0),
  minimum_l REAL NOT NULL CHECK (minimum_l >= 0),
  hopper_kg REAL CHECK (hopper_kg > 0),
  details TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK (kind <> 'sprayer' OR capacity_l > 0),
  CHECK (kind <> 'granule applicator' OR hopper_kg IS NOT NULL)
) STRICT;
INSERT INTO sprayer_rebuilt (id, farm_id, name, kind, capacity_l, minimum_l, details, created_at, version)
  SELECT id, farm_id, name, 'sprayer', capacity_l, minimum_l, details, created_at, version FROM sprayer;
DROP TABLE sprayer;
ALTER TABLE sprayer_rebuilt RENAME TO sprayer;

CREATE TABLE job_rebuilt (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  code TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('spray in water', 'spray in liquid fertiliser', 'neat liquid', 'granules', 'seed treatment')),
  sprayer_id TEXT NOT NULL REFERENCES sprayer (id),
  spray_date TEXT NOT NULL,
  spray_volume REAL NOT NULL CHECK (spray_volume >= 0),
  details TEXT NOT NULL,
  plan TEXT NOT NULL,
  closing TEXT,
  withdrawn_why TEXT,
  created_at INTEGER NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK ((spray_volume > 0) = (kind NOT IN ('granules', 'seed treatment')))
) STRICT;
INSERT INTO job_rebuilt (id, farm_id, code, name, kind, sprayer_id, spray_date, spray_volume, details, plan, closing,
  withdrawn_why, created_at, version)
  SELECT id, farm_id, code, name, 'spray in water', sprayer_id, spray_date, spray_volume, details, plan, closing,
    withdrawn_why, created_at, version FROM job;
DROP TABLE job;
ALTER TABLE job_rebuilt RENAME TO job;
CREATE INDEX job_by_date ON job (spray_date);

-- Treated seed is no ground yet: its records name the lot, no field and no area.
CREATE TABLE spray_record_rebuilt (
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
  UNIQUE (record_id, version),
  CHECK ((field_id IS NULL) = (treated_m2 = 0))
) STRICT;
INSERT INTO spray_record_rebuilt (id, seq, record_id, version, state, farm_id, job_id, load_log_id, load_number, spray_date, season, field_id, field_name, product_id, product_name, unit, treated_m2, amount, started_at, finished_at, confirmed, details, why, who, written_at, user_id, device_id, hash)
  SELECT id, seq, record_id, version, state, farm_id, job_id, load_log_id, load_number, spray_date, season, field_id, field_name, product_id, product_name, unit, treated_m2, amount, started_at, finished_at, confirmed, details, why, who, written_at, user_id, device_id, hash FROM spray_record;
DROP TABLE spray_record;
ALTER TABLE spray_record_rebuilt RENAME TO spray_record;
CREATE INDEX spray_record_by_date ON spray_record (spray_date, field_id, product_id, amount, treated_m2);
CREATE INDEX spray_record_by_field ON spray_record (field_id, spray_date);
CREATE INDEX spray_record_by_load ON spray_record (load_log_id);
CREATE INDEX spray_record_by_job ON spray_record (job_id);
CREATE TRIGGER spray_record_no_update BEFORE UPDATE ON spray_record BEGIN SELECT RAISE(ABORT, 'spray records only grow'); END;
CREATE TRIGGER spray_record_no_delete BEFORE DELETE ON spray_record BEGIN SELECT RAISE(ABORT, 'spray records only grow'); END;

-- Where treated seed was sown: from then on it counts on that ground. Only grows; a wrong one is taken back by its mirror.
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
CREATE INDEX seed_sowing_by_job ON seed_sowing (job_id);
CREATE INDEX seed_sowing_by_field ON seed_sowing (field_id, sown_on);
CREATE TRIGGER seed_sowing_no_update BEFORE UPDATE ON seed_sowing BEGIN SELECT RAISE(ABORT, 'sowings only grow'); END;
CREATE TRIGGER seed_sowing_no_delete BEFORE DELETE ON seed_sowing BEGIN SELECT RAISE(ABORT, 'sowings only grow'); END;
