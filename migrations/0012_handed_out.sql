-- What is on loan or in other stores is asked each time the store is opened.
CREATE INDEX movement_handed_out ON movement (product_id, kind, amount) WHERE kind IN ('loan', 'transfer');
