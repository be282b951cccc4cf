-- Washings of a sprayer put onto ground: what came out of the tank, where it went, and its lines among the spray records.

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
CREATE INDEX washings_by_job ON washings (job_id);
CREATE TRIGGER washings_no_update BEFORE UPDATE ON washings BEGIN SELECT RAISE(ABORT, 'washings only grow'); END;
CREATE TRIGGER washings_no_delete BEFORE DELETE ON washings BEGIN SELECT RAISE(ABORT, 'washings only grow'); END;

-- Over ground the job had sprayed already they treat no ground anew: treated_m2 is 0 there, and washed_m2 says where they lie.
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
  washings_id TEXT REFERENCES washings (id),
  washed_m2 REAL CHECK (washed_m2 > 0),
  UNIQUE (record_id, version),
  CHECK ((washings_id IS NULL) = (washed_m2 IS NULL)),
  CHECK (CASE WHEN washings_id IS NULL THEN (field_id IS NULL) = (treated_m2 = 0)
    ELSE field_id IS NOT NULL AND treated_m2 IN (0, washed_m2) END)
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
