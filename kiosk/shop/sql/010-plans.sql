-- By which plan a station presses its garments of a shared order: digests of what is pressed and of
-- the files that it was made from, and its settings, steps and films in brief. No name is in it.

ALTER TABLE shop.claims ADD COLUMN plan jsonb;
GRANT UPDATE (plan) ON shop.claims TO shop_station;

CREATE OR REPLACE VIEW office.claims AS
    SELECT c.job, c.role::text AS name, c.shared, c.since, c.ended, c.ended_by::text, c.plan,
        (SELECT count(*) FROM shop.batches b WHERE b.job = c.job AND b.claim = c.claim
            AND (b.given_by IS NULL OR cardinality(b.kept) > 0)) AS batches
    FROM shop.claims c;
