-- A recipe may be brought out in other ways than sprayed in water. The table is rebuilt for its check; its index goes with it.
CREATE TABLE recipe_rebuilt (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  kind TEXT NOT NULL CHECK (kind IN ('spray in water', 'spray in liquid fertiliser', 'neat liquid', 'granules', 'seed treatment')),
  spray_volume REAL NOT NULL CHECK (spray_volume >= 0),
  products TEXT NOT NULL,
  details TEXT,
  created_at INTEGER NOT NULL,
  removed_at INTEGER,
  version INTEGER NOT NULL CHECK (version > 0),
  CHECK ((spray_volume > 0) = (kind IN ('spray in water', 'spray in liquid fertiliser')))
) STRICT;
INSERT INTO recipe_rebuilt (id, farm_id, name, kind, spray_volume, products, created_at, removed_at, version)
  SELECT id, farm_id, name, 'spray in water', spray_volume, products, created_at, removed_at, version FROM recipe;
DROP TABLE recipe;
ALTER TABLE recipe_rebuilt RENAME TO recipe;
CREATE UNIQUE INDEX recipe_by_name ON recipe (name) WHERE removed_at IS NULL;
