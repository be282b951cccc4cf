-- Closed spaces (stores, glasshouses) and jobs that treat one. Tables are rebuilt where a check has to give way; the
-- indexes go with a table and are written again.

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
CREATE UNIQUE INDEX closed_space_by_name ON closed_space (name) WHERE removed_at IS NULL;

-- Foggers, hand-held sprayers and dosers beside the machines there were.
CREATE TABLE sprayer_rebuilt (
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
INSERT INTO sprayer_rebuilt (id, farm_id, name, kind, capacity_l, minimum_l, hopper_kg, details, created_at, version)
  SELECT id, farm_id, name, kind, capacity_l, minimum_l, hopper_kg, details, created_at, version FROM sprayer;
DROP TABLE sprayer;
ALTER TABLE sprayer_rebuilt RENAME TO sprayer;

CREATE TABLE job_rebuilt (
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
INSERT INTO job_rebuilt (id, farm_id, code, name, kind, sprayer_id, spray_date, spray_volume, details, plan, closing,
  withdrawn_why, created_at, version)
  SELECT id, farm_id, code, name, kind, sprayer_id, spray_date, spray_volume, details, plan, closing,
    withdrawn_why, created_at, version FROM job;
DROP TABLE job;
ALTER TABLE job_rebuilt RENAME TO job;
CREATE INDEX job_by_date ON job (spray_date);
CREATE INDEX job_by_space ON job (space_id) WHERE space_id IS NOT NULL;

CREATE TABLE recipe_rebuilt (
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
INSERT INTO recipe_rebuilt (id, farm_id, name, kind, spray_volume, products, details, created_at, removed_at, version)
  SELECT id, farm_id, name, kind, spray_volume, products, details, created_at, removed_at, version FROM recipe;
DROP TABLE recipe;
ALTER TABLE recipe_rebuilt RENAME TO recipe;
CREATE UNIQUE INDEX recipe_by_name ON recipe (name) WHERE removed_at IS NULL;
