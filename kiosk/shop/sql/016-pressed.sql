-- Roster lines of a job that stations other than the caller's record are known to have pressed,
-- unless replaced since: a garment scrapped after pressing must be pressed again by whichever
-- station has it then. Lines in `unfinished` still need work: another pass, rework, a peel.
DROP FUNCTION shop.pressed(text, text);
CREATE FUNCTION shop.pressed(of_job text, besides text)
RETURNS TABLE (role name, station text, sent timestamptz, lines text[], unfinished text[])
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    WITH garments AS (
        SELECT r.role, r.station, r.generation, g.line, max(r.sent) AS sent,
            max(g.finals) > 0 AS pressed,
            count(*) FILTER (WHERE g.stage NOT IN ('good', 'accepted', 'void')) > 0 AS unfinished
        FROM records r JOIN garment g ON g.record = r.record
        WHERE g.job = of_job AND g.replaced_by = 0
            AND NOT (r.role = session_user AND r.station = besides)
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
REVOKE EXECUTE ON FUNCTION shop.pressed FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.pressed TO shop_station;
