-- Fields split and merge over the years; what was sprayed follows the ground.
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

CREATE INDEX field_lineage_by_child ON field_lineage (child_id);

CREATE TRIGGER field_lineage_no_update BEFORE UPDATE ON field_lineage BEGIN SELECT RAISE(ABORT, 'lineage only grows'); END;
CREATE TRIGGER field_lineage_no_delete BEFORE DELETE ON field_lineage BEGIN SELECT RAISE(ABORT, 'lineage only grows'); END;

-- A field that was split or merged is farmed no more under its own name.
ALTER TABLE field ADD COLUMN retired_on TEXT;

-- Some counters add the ground a boom covers twice: that is machine area, not treated ground. Empty: nobody said.
ALTER TABLE field_measurement ADD COLUMN with_overlap INTEGER CHECK (with_overlap IN (0, 1));
