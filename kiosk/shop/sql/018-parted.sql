-- Whether a claim is a copy's that has parted: the shop has another event under the number of the
-- one that the claim was made at. Where it has none yet, nobody knows.
CREATE OR REPLACE VIEW office.claims AS
    SELECT c.job, c.role::text AS name, c.shared, c.since, c.ended, c.ended_by::text, c.plan,
        (SELECT count(*) FROM shop.batches b WHERE b.job = c.job AND b.claim = c.claim
            AND (b.given_by IS NULL OR cardinality(b.kept) > 0)) AS batches,
        (SELECT count(*) > 0 FROM shop.unpressed u
            WHERE u.job = c.job AND u.claim = c.claim) AS unpressed,  -- of each by itself
        (SELECT coalesce(NOT bool_or(e.digest = c.digest), false)
            FROM shop.records r JOIN shop.events e USING (record)
            WHERE r.station = c.station AND e.seq = c.seq) AS parted
    FROM shop.claims c;
