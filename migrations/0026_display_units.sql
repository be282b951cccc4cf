-- The units figures are read in on screens and paper; empty: those usual under the farm's rule set. What is kept stays metric.

ALTER TABLE farm ADD COLUMN display_units TEXT CHECK (display_units IN ('metric', 'US customary'));
