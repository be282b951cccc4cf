-- A job may treat several closed spaces, in their order, each by the name its records have. `job.space_id` stays: the first.

CREATE TABLE job_space (
  job_id TEXT NOT NULL REFERENCES job (id),
  space_id TEXT NOT NULL REFERENCES closed_space (id),
  position INTEGER NOT NULL,
  name TEXT NOT NULL CHECK (length(name) > 0),
  PRIMARY KEY (job_id, space_id)
) STRICT;
INSERT INTO job_space (job_id, space_id, position, name)
  SELECT job.id, closed_space.id, 0, closed_space.name FROM job JOIN closed_space ON closed_space.id = job.space_id;
CREATE INDEX job_space_by_space ON job_space (space_id);
DROP INDEX job_by_space;
