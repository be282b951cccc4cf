-- The layer under the map, as JSON: kind, address, layers, credit, deepest zoom. Without one the program asks no server.
ALTER TABLE farm ADD COLUMN background TEXT;
