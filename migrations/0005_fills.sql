-- Filling in the yard: the steps of each fill, what it taught, incidents, cleaning, and saved recipes.

-- One press in the yard. A step taken back stays, with the undo that names it.
CREATE TABLE fill_step (
  id TEXT NOT NULL PRIMARY KEY,
  job_id TEXT NOT NULL REFERENCES job (id),
  load_number INTEGER NOT NULL CHECK (load_number > 0),
  seq INTEGER NOT NULL CHECK (seq > 0),
  at INTEGER NOT NULL,
  what TEXT NOT NULL CHECK (what IN ('inlet opened', 'inlet stopped', 'container done', 'meter read', 'everything stopped', 'went on', 'started over', 'undo')),
  container INTEGER CHECK (container > 0),
  metered_l REAL CHECK (metered_l >= 0),
  undoes TEXT REFERENCES fill_step (id),
  who TEXT NOT NULL,
  noted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  UNIQUE (job_id, load_number, seq)
) STRICT;

-- One fill as it went, worked out from its steps up to last_seq.
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
CREATE INDEX fill_log_by_load ON fill_log (job_id, load_number);
CREATE INDEX fill_log_by_sprayer ON fill_log (sprayer_id, started_at);

-- What was said about an incident; the newest entry of an incident stands, the ones before stay.
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
  device_id TEXT NOT NULL,
  UNIQUE (incident_id, seq)
) STRICT;
CREATE INDEX incident_entry_by_load ON incident_entry (job_id, load_number);

-- Cleaning: the yard after a fill, or the sprayer between products.
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
CREATE INDEX cleaning_by_sprayer ON cleaning (sprayer_id, at);

CREATE TABLE recipe (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  spray_volume REAL NOT NULL CHECK (spray_volume > 0),
  products TEXT NOT NULL,
  created_at INTEGER NOT NULL,
  removed_at INTEGER,
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;
CREATE UNIQUE INDEX recipe_by_name ON recipe (name) WHERE removed_at IS NULL;

CREATE TRIGGER fill_step_no_update BEFORE UPDATE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;
CREATE TRIGGER fill_step_no_delete BEFORE DELETE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;
CREATE TRIGGER fill_log_no_update BEFORE UPDATE ON fill_log BEGIN SELECT RAISE(ABORT, 'fill logs only grow'); END;
CREATE TRIGGER fill_log_no_delete BEFORE DELETE ON fill_log BEGIN SELECT RAISE(ABORT, 'fill logs only grow'); END;
CREATE TRIGGER incident_entry_no_update BEFORE UPDATE ON incident_entry BEGIN SELECT RAISE(ABORT, 'incidents only grow'); END;
CREATE TRIGGER incident_entry_no_delete BEFORE DELETE ON incident_entry BEGIN SELECT RAISE(ABORT, 'incidents only grow'); END;
CREATE TRIGGER cleaning_no_update BEFORE UPDATE ON cleaning BEGIN SELECT RAISE(ABORT, 'cleaning only grows'); END;
CREATE TRIGGER cleaning_no_delete BEFORE DELETE ON cleaning BEGIN SELECT RAISE(ABORT, 'cleaning only grows'); END;
