-- A server restored from a backup has lost the claims made since, but a station's record still has
-- their numbers if a supervisor decided over them: none of those may be given to another claim.
-- Seconds since 1970 exceed any number in use, as no shop makes a claim every second.

CREATE OR REPLACE FUNCTION shop.restored() RETURNS void
LANGUAGE sql SET search_path = shop, pg_temp AS $$
    INSERT INTO restorings DEFAULT VALUES;
    SELECT setval(pg_get_serial_sequence('shop.claims', 'claim'),
        greatest(max(claim), extract(epoch FROM now())::bigint)) FROM claims;
$$;
