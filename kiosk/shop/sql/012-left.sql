-- Claims that a station gave up by itself before pressing anything of the job: all events it had on
-- leaving (`at_end` is the last) are here with their facts, no closing is among them, and no
-- garment has a mark (such as an unasked closing). Stations stopped by such a claim go on.

ALTER TABLE shop.claims ADD COLUMN at_end bigint;
GRANT UPDATE (at_end) ON shop.claims TO shop_station;

CREATE VIEW shop.unpressed AS
    SELECT c.job, c.claim FROM shop.claims c
    WHERE c.ended_by = c.role
        AND EXISTS (
            SELECT FROM office.station s
            WHERE s.name = c.role::text AND s.station = c.station AND s.generation = (
                    SELECT max(generation) FROM shop.records r WHERE r.station = c.station)
                AND s.events >= c.at_end AND s.told >= c.at_end)
        AND NOT EXISTS (
            SELECT FROM shop.records r JOIN shop.garment g USING (record)
            WHERE r.role = c.role AND r.station = c.station AND g.job = c.job
                AND (g.finals > 0 OR g.marks <> ''
                    OR g.stage NOT IN ('waiting', 'at the press', 'void')))
        AND NOT EXISTS (
            SELECT FROM shop.records r JOIN shop.stint t USING (record)
                JOIN shop.closing k USING (record, stint)
            WHERE r.role = c.role AND r.station = c.station AND t.job = c.job);
GRANT SELECT ON shop.unpressed TO shop_station;

CREATE OR REPLACE VIEW office.claims AS
    SELECT c.job, c.role::text AS name, c.shared, c.since, c.ended, c.ended_by::text, c.plan,
        (SELECT count(*) FROM shop.batches b WHERE b.job = c.job AND b.claim = c.claim
            AND (b.given_by IS NULL OR cardinality(b.kept) > 0)) AS batches,
        (SELECT count(*) > 0 FROM shop.unpressed u
            WHERE u.job = c.job AND u.claim = c.claim) AS unpressed  -- for each claim separately
    FROM shop.claims c;
