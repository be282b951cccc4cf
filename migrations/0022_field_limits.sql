-- How much of a nutrient a field may be given in a period. A limit that is set anew or taken off ends; its row stays.

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
CREATE UNIQUE INDEX field_limit_in_force ON field_limit (field_id, nutrient, ifnull(crop, '')) WHERE ended_at IS NULL;
CREATE TRIGGER field_limit_ends_once BEFORE UPDATE ON field_limit
  WHEN old.ended_at IS NOT NULL OR new.ended_at IS NULL OR (new.id, new.field_id, new.nutrient, new.crop, new.max_kg_per_ha, new.per, new.source, new.from_memory, new.warns_only, new.created_at)
    IS NOT (old.id, old.field_id, old.nutrient, old.crop, old.max_kg_per_ha, old.per, old.source, old.from_memory, old.warns_only, old.created_at)
  BEGIN SELECT RAISE(ABORT, 'limits of fields only grow: one can only end'); END;
CREATE TRIGGER field_limit_no_delete BEFORE DELETE ON field_limit BEGIN SELECT RAISE(ABORT, 'limits of fields only grow'); END;
