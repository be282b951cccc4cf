-- Documents kept with a product or with the store: labels, safety data sheets, the plan of the building. They only grow:
-- a newer version names the one it replaces, a wrong one is put aside, and both stay for the records made under them.
CREATE TABLE document (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  product_id TEXT REFERENCES product (id),
  kind TEXT NOT NULL CHECK (kind IN ('label', 'safety data sheet', 'other', 'store plan')),
  name TEXT NOT NULL CHECK (length(name) > 0),
  type TEXT NOT NULL CHECK (type IN ('pdf', 'png', 'jpeg')),
  issued_on TEXT,
  bytes INTEGER NOT NULL CHECK (bytes > 0),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
  content BLOB NOT NULL,
  replaces TEXT UNIQUE REFERENCES document (id),
  added_at INTEGER NOT NULL,
  who TEXT NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;
CREATE INDEX document_by_product ON document (product_id);

CREATE TABLE document_put_aside (
  document_id TEXT NOT NULL PRIMARY KEY REFERENCES document (id),
  why TEXT NOT NULL,
  who TEXT NOT NULL,
  at INTEGER NOT NULL
) STRICT;

CREATE TRIGGER document_no_update BEFORE UPDATE ON document BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;
CREATE TRIGGER document_no_delete BEFORE DELETE ON document BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;
CREATE TRIGGER document_put_aside_no_update BEFORE UPDATE ON document_put_aside BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;
CREATE TRIGGER document_put_aside_no_delete BEFORE DELETE ON document_put_aside BEGIN SELECT RAISE(ABORT, 'documents only grow'); END;
