-- Empty containers counted by hand. What the book said then stands beside it: the gap stays in the account.
CREATE TABLE empties_count (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  counted_on TEXT NOT NULL,
  size INTEGER NOT NULL CHECK (size > 0),
  unit TEXT NOT NULL CHECK (unit IN ('L', 'kg')),
  pieces INTEGER NOT NULL CHECK (pieces >= 0),
  book INTEGER NOT NULL,
  why TEXT,
  who TEXT NOT NULL,
  posted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;
CREATE INDEX empties_count_by_size ON empties_count (size, unit);

CREATE TRIGGER empties_count_no_update BEFORE UPDATE ON empties_count BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
CREATE TRIGGER empties_count_no_delete BEFORE DELETE ON empties_count BEGIN SELECT RAISE(ABORT, 'the waste account only grows'); END;
