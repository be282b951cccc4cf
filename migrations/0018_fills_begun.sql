-- A hopper or a batch of seed has no inlet: its fill begins with a press of its own. The table is rebuilt for its check.
CREATE TABLE fill_step_rebuilt (
  id TEXT NOT NULL PRIMARY KEY,
  job_id TEXT NOT NULL REFERENCES job (id),
  load_number INTEGER NOT NULL CHECK (load_number > 0),
  seq INTEGER NOT NULL CHECK (seq > 0),
  at INTEGER NOT NULL,
  what TEXT NOT NULL CHECK (what IN ('begun', 'inlet opened', 'inlet stopped', 'container done', 'meter read', 'everything stopped', 'went on', 'started over', 'undo')),
  container INTEGER CHECK (container > 0),
  metered_l REAL CHECK (metered_l >= 0),
  undoes TEXT REFERENCES fill_step_rebuilt (id),
  who TEXT NOT NULL,
  noted_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  UNIQUE (job_id, load_number, seq)
) STRICT;
INSERT INTO fill_step_rebuilt (id, job_id, load_number, seq, at, what, container, metered_l, undoes, who, noted_at, user_id, device_id)
  SELECT id, job_id, load_number, seq, at, what, container, metered_l, undoes, who, noted_at, user_id, device_id FROM fill_step;
DROP TABLE fill_step;
ALTER TABLE fill_step_rebuilt RENAME TO fill_step;
CREATE TRIGGER fill_step_no_update BEFORE UPDATE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;
CREATE TRIGGER fill_step_no_delete BEFORE DELETE ON fill_step BEGIN SELECT RAISE(ABORT, 'fill steps only grow'); END;
