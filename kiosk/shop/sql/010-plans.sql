-- The plan by which a station presses its garments of a shared order: digests of what is pressed
-- and of the source files, and a summary of its settings, steps and films. It contains no name.

ALTER TABLE shop.claims ADD COLUMN plan jsonb;
GRANT UPDATE (plan) ON shop.claims TO shop_station;

CREATE OR REPLACE VIEW office.claims AS
    SELECT c.job, c.role::text AS name, c.shared, c.since, c.ended, c.ended_by::text, c.plan,
        (SELECT count(*) FROM shop.batches b WHERE b.job = c.job AND b.claim = c.claim
            AND (b.given_by IS NULL OR cardinality(b.kept) > 0)) AS batches
    FROM shop.claims c;
