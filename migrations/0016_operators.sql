-- Who sprays, with the certificate and the day it runs out. One that left is taken off the list; the row stays.
CREATE TABLE operator (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  name TEXT NOT NULL CHECK (length(name) > 0),
  certificate_no TEXT,
  certificate_until TEXT,
  removed_at INTEGER,
  version INTEGER NOT NULL CHECK (version > 0)
) STRICT;
