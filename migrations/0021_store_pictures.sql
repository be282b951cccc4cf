-- Each store may have a picture as its plan. A plan of the building that names no store is of the first, as all from before are.
ALTER TABLE document ADD COLUMN store_id TEXT REFERENCES store (id);
