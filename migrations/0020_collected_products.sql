-- Whose containers a collection took, where that was noted; lines without a product were told by size only.
ALTER TABLE waste_collection_line ADD COLUMN product_id TEXT REFERENCES product (id) CHECK (product_id IS NULL OR size IS NOT NULL);
