-- A copy of a record is another station, even if it signs in under the same name: each one sees
-- what the other has pressed since they parted. `own` is the caller's record here, NULL if it has
-- not joined, and `own_from` the first event that only it has.
CREATE FUNCTION shop.pressed(of_job text, besides text, own bigint, own_from bigint)
RETURNS TABLE (role name, station text, sent timestamptz, lines text[], unfinished text[])
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    WITH copies AS (
        SELECT least(own_from, min(r.after) FILTER (WHERE r.generation > 1) + 1) AS parted
        FROM records r WHERE r.station = besides),
    garments AS (
        SELECT r.role, r.station, r.generation, g.line, max(r.sent) AS sent,
            max(g.finals) > 0 AS pressed,
            count(*) FILTER (WHERE g.stage NOT IN ('good', 'accepted', 'void')) > 0 AS unfinished
        FROM records r JOIN garment g ON g.record = r.record CROSS JOIN copies c
        WHERE g.job = of_job AND g.replaced_by = 0 AND r.record IS DISTINCT FROM own
            AND (r.station <> besides OR g.told >= c.parted)
            AND r.simulated = coalesce((SELECT bool_or(o.simulated) FROM records o
                                        WHERE o.station = besides AND o.role = session_user), false)
        GROUP BY r.role, r.station, r.generation, g.line)
    SELECT p.role, p.station, max(p.sent), array_agg(DISTINCT p.line),
        coalesce(array_agg(DISTINCT p.line) FILTER (WHERE p.unfinished AND NOT EXISTS (
            SELECT FROM garments later WHERE later.role = p.role AND later.station = p.station
                AND later.line = p.line AND later.generation > p.generation)), '{}')
    FROM garments p WHERE p.pressed
    GROUP BY p.role, p.station;
$$;
REVOKE EXECUTE ON FUNCTION shop.pressed(text, text, bigint, bigint) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.pressed(text, text, bigint, bigint) TO shop_station;

-- When a supervisor at a copy ends a claim, the role that ends it has the same name as the claim's.
-- `ended_by` is then NULL (ended by no station), so that the claim does not look given up.
CREATE OR REPLACE FUNCTION shop.end_claim(of_other bigint) RETURNS void
LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    UPDATE claims AS other SET ended = now(), ended_by = nullif(session_user, other.role)
    WHERE other.claim = of_other AND other.ended IS NULL AND EXISTS (
        SELECT FROM claims own WHERE own.job = other.job AND own.role = session_user
            AND own.ended IS NULL);
$$;

-- All events that a station had on leaving must be here in the record that made the claim, not in a
-- copy's: only its events have that digest.
CREATE OR REPLACE VIEW shop.unpressed AS
    SELECT c.job, c.claim FROM shop.claims c
    WHERE c.ended_by = c.role
        AND EXISTS (
            SELECT FROM office.station s
            WHERE s.name = c.role::text AND s.station = c.station
                AND EXISTS (SELECT FROM shop.events e WHERE e.record = s.record
                            AND e.seq = c.seq AND e.digest = c.digest)
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
