-- Whether a claim belongs to a copy that has parted: the shop has a different event under the
-- number at which the claim was made. False while it has none yet.
CREATE OR REPLACE VIEW office.claims AS
    SELECT c.job, c.role::text AS name, c.shared, c.since, c.ended, c.ended_by::text, c.plan,
        (SELECT count(*) FROM shop.batches b WHERE b.job = c.job AND b.claim = c.claim
            AND (b.given_by IS NULL OR cardinality(b.kept) > 0)) AS batches,
        (SELECT count(*) > 0 FROM shop.unpressed u
            WHERE u.job = c.job AND u.claim = c.claim) AS unpressed,  -- for each claim separately
        (SELECT coalesce(NOT bool_or(e.digest = c.digest), false)
            FROM shop.records r JOIN shop.events e USING (record)
            WHERE r.station = c.station AND e.seq = c.seq) AS parted
    FROM shop.claims c;
