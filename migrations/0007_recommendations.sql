-- An adviser's recommendation, what a job made of it, and its withdrawal: all only grow.

CREATE TABLE recommendation (
  id TEXT NOT NULL PRIMARY KEY,
  farm_id TEXT NOT NULL REFERENCES farm (id),
  adviser TEXT NOT NULL CHECK (length(adviser) > 0),
  certificate_no TEXT,
  reference TEXT,
  given_on TEXT NOT NULL,
  valid_until TEXT NOT NULL,
  details TEXT NOT NULL,
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL,
  CHECK (valid_until >= given_on)
) STRICT;

CREATE TABLE recommendation_withdrawal (
  recommendation_id TEXT NOT NULL PRIMARY KEY REFERENCES recommendation (id),
  why TEXT NOT NULL CHECK (length(why) > 0),
  who TEXT NOT NULL,
  written_at INTEGER NOT NULL,
  user_id TEXT NOT NULL,
  device_id TEXT NOT NULL
) STRICT;

-- The recommendation a job was planned from, and where it departs from it.
CREATE TABLE job_recommendation (
  job_id TEXT NOT NULL PRIMARY KEY REFERENCES job (id),
  recommendation_id TEXT NOT NULL REFERENCES recommendation (id),
  deviations TEXT NOT NULL
) STRICT;
CREATE INDEX job_recommendation_by_recommendation ON job_recommendation (recommendation_id);

CREATE TRIGGER recommendation_no_update BEFORE UPDATE ON recommendation BEGIN SELECT RAISE(ABORT, 'recommendations only grow'); END;
CREATE TRIGGER recommendation_no_delete BEFORE DELETE ON recommendation BEGIN SELECT RAISE(ABORT, 'recommendations only grow'); END;
CREATE TRIGGER recommendation_withdrawal_no_update BEFORE UPDATE ON recommendation_withdrawal BEGIN SELECT RAISE(ABORT, 'withdrawals only grow'); END;
CREATE TRIGGER recommendation_withdrawal_no_delete BEFORE DELETE ON recommendation_withdrawal BEGIN SELECT RAISE(ABORT, 'withdrawals only grow'); END;
CREATE TRIGGER job_recommendation_no_update BEFORE UPDATE ON job_recommendation BEGIN SELECT RAISE(ABORT, 'what a job was planned from only grows'); END;
CREATE TRIGGER job_recommendation_no_delete BEFORE DELETE ON job_recommendation BEGIN SELECT RAISE(ABORT, 'what a job was planned from only grows'); END;
