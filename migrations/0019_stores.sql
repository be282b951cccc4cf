-- A farm may have several stores. The first carries the id of the farm; rows that name no store are of the first,
-- as all rows from before are.
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
INSERT INTO store (id, farm_id, name, place, contacts, bund_l, sensitive, plan, closed, version)
  SELECT farm_id, farm_id, 'Main store', place, contacts, bund_l, sensitive, plan, 0, version FROM store_site;
DROP TABLE store_site;

ALTER TABLE movement ADD COLUMN store_id TEXT REFERENCES store (id);
ALTER TABLE stock_count ADD COLUMN store_id TEXT REFERENCES store (id);
ALTER TABLE stock_take ADD COLUMN store_id TEXT REFERENCES store (id);

DROP INDEX movement_by_product;
CREATE INDEX movement_by_product ON movement (product_id, occurred_at, amount, lot_id, container_id, store_id);
