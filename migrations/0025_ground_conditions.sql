-- Whether a condition that labels name (drained land, a slope towards water) holds on a field. An answer that is given anew
-- or taken back ends; its row stays.

CREATE TABLE field_condition (
  id TEXT NOT NULL PRIMARY KEY,
  field_id TEXT NOT NULL REFERENCES field (id),
  condition TEXT NOT NULL CHECK (length(condition) > 0),
  holds INTEGER NOT NULL CHECK (holds IN (0, 1)),
  created_at INTEGER NOT NULL,
  ended_at INTEGER CHECK (ended_at >= created_at)
) STRICT;
CREATE UNIQUE INDEX field_condition_in_force ON field_condition (field_id, lower(condition)) WHERE ended_at IS NULL;
CREATE TRIGGER field_condition_ends_once BEFORE UPDATE ON field_condition
  WHEN old.ended_at IS NOT NULL OR new.ended_at IS NULL OR (new.id, new.field_id, new.condition, new.holds, new.created_at)
    IS NOT (old.id, old.field_id, old.condition, old.holds, old.created_at)
  BEGIN SELECT RAISE(ABORT, 'answers about ground only grow: one can only end'); END;
CREATE TRIGGER field_condition_no_delete BEFORE DELETE ON field_condition BEGIN SELECT RAISE(ABORT, 'answers about ground only grow'); END;
