-- Logs, cleanings and incidents of a period are asked for by time alone, over all jobs and sprayers.
CREATE INDEX load_log_by_time ON load_log (started_at);
CREATE INDEX cleaning_by_time ON cleaning (at);
CREATE INDEX incident_entry_by_time ON incident_entry (happened_at);
