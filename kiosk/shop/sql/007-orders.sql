-- Garments of shared orders that no press has taken yet: they are in no station's facts.

CREATE VIEW office.untaken AS
    SELECT b.job, b.batch, g ->> 0 AS line, g ->> 1 AS number, g ->> 2 AS size
    FROM shop.batches b CROSS JOIN LATERAL jsonb_array_elements(b.garments) AS t (g)
    WHERE b.claim IS NULL;
GRANT SELECT ON office.untaken TO shop_reader;
