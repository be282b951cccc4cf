-- A wrong incident is withdrawn by one more entry that says why; the entries before stay.
ALTER TABLE incident_entry ADD COLUMN withdrawn_why TEXT CHECK (length(withdrawn_why) > 0);
