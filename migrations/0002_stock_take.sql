-- Stock takes as sessions: opened, counted by several people, each difference judged, ended. All of it only grows.

CREATE TABLE stock_take (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  freeze_at INTEGER NOT NULL,
  blind INTEGER NOT NULL CHECK (blind IN (0, 1)),
  opened_at INTEGER NOT NULL,
  opened_by TEXT NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

-- What somebody found of a product at one place of the store; the newest entry of a product and place stands.
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
CREATE INDEX stock_take_entry_by_take ON stock_take_entry (take_id, product_id);
CREATE INDEX stock_take_entry_by_product ON stock_take_entry (product_id, entered_at);

CREATE TABLE stock_take_verdict (
  id TEXT NOT NULL PRIMARY KEY,
  take_id TEXT NOT NULL REFERENCES stock_take (id),
  product_id TEXT NOT NULL REFERENCES product (id),
  verdict TEXT NOT NULL CHECK (verdict IN ('accepted', 'open')),
  why TEXT NOT NULL,
  who TEXT NOT NULL,
  said_at INTEGER NOT NULL
) STRICT;
CREATE INDEX stock_take_verdict_by_take ON stock_take_verdict (take_id, product_id);

CREATE TABLE stock_take_end (
  take_id TEXT NOT NULL PRIMARY KEY REFERENCES stock_take (id),
  outcome TEXT NOT NULL CHECK (outcome IN ('approved', 'dropped')),
  why TEXT,
  who TEXT NOT NULL,
  ended_at INTEGER NOT NULL
) STRICT;

-- A count that came out of a session names it, and how well it was measured.
ALTER TABLE stock_count ADD COLUMN take_id TEXT REFERENCES stock_take (id);
ALTER TABLE stock_count ADD COLUMN sigma INTEGER CHECK (sigma >= 0);

CREATE TRIGGER stock_take_no_update BEFORE UPDATE ON stock_take BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_no_delete BEFORE DELETE ON stock_take BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_entry_no_update BEFORE UPDATE ON stock_take_entry BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_entry_no_delete BEFORE DELETE ON stock_take_entry BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_verdict_no_update BEFORE UPDATE ON stock_take_verdict BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_verdict_no_delete BEFORE DELETE ON stock_take_verdict BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_end_no_update BEFORE UPDATE ON stock_take_end BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
CREATE TRIGGER stock_take_end_no_delete BEFORE DELETE ON stock_take_end BEGIN SELECT RAISE(ABORT, 'stock takes only grow'); END;
