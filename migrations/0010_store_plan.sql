-- The drawn plan of the store building: rectangles with names, in metres, as JSON. Empty: nobody drew one.
ALTER TABLE store_site ADD COLUMN plan TEXT;
