-- A server that was put back from a backup has forgotten claims made since, but a station's record
-- has their numbers where a supervisor decided over them: none of those is given to another claim.
-- Seconds since 1970 are ahead of any number: no shop claims a job each second.

CREATE OR REPLACE FUNCTION shop.restored() RETURNS void
LANGUAGE sql SET search_path = shop, pg_temp AS $$
    INSERT INTO restorings DEFAULT VALUES;
    SELECT setval(pg_get_serial_sequence('shop.claims', 'claim'),
        greatest(max(claim), extract(epoch FROM now())::bigint)) FROM claims;
$$;
