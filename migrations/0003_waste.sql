-- Empty containers, bags of caps and foils, and what a waste contractor collected. All of it only grows.

-- How the containers a load emptied were rinsed; the newest word on a load stands.
CREATE TABLE container_rinse (
  id TEXT NOT NULL PRIMARY KEY,
  load_log_id TEXT NOT NULL REFERENCES load_log (id),
  how TEXT NOT NULL CHECK (how IN ('by hand three times', 'pressure', 'integrated', 'not rinsed')),
  who TEXT NOT NULL,
  noted_at INTEGER NOT NULL
) STRICT;
CREATE INDEX container_rinse_by_load ON container_rinse (load_log_id);

-- A double bag of caps and foils that was closed.
CREATE TABLE seal_bag (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  closed_on TEXT NOT NULL,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL
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
  pieces INTEGER NOT NULL CHECK (pieces > 0),
  PRIMARY KEY (collection_id, position)
) STRICT;

-- The building itself: where it stands, what its bund holds, whom to ring.
CREATE TABLE store_site (
  farm_id TEXT NOT NULL PRIMARY KEY REFERENCES farm (id),
  place TEXT NOT NULL,
  contacts TEXT NOT NULL,
  bund_l REAL CHECK (bund_l >= 0),
  sensitive INTEGER NOT NULL CHECK (sensitive IN (0, 1)),
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;

CREATE TRIGGER container_rinse_no_update BEFORE UPDATE ON container_rinse BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER container_rinse_no_delete BEFORE DELETE ON container_rinse BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER seal_bag_no_update BEFORE UPDATE ON seal_bag BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER seal_bag_no_delete BEFORE DELETE ON seal_bag BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER waste_collection_no_update BEFORE UPDATE ON waste_collection BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER waste_collection_no_delete BEFORE DELETE ON waste_collection BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER waste_collection_line_no_update BEFORE UPDATE ON waste_collection_line BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER waste_collection_line_no_delete BEFORE DELETE ON waste_collection_line BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
