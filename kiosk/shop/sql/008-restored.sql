-- A server restored from a backup has lost track of batches taken since. Until each station that
-- shares a job has been heard from again, no batch of it is given out.

ALTER TABLE shop.claims ADD COLUMN seen timestamptz NOT NULL DEFAULT now();
DROP POLICY own_end ON shop.claims;
CREATE POLICY own_update ON shop.claims FOR UPDATE TO shop_station
    USING (role = current_user AND ended IS NULL)
    WITH CHECK (role = current_user AND coalesce(ended_by, current_user) = current_user);
GRANT UPDATE (seen) ON shop.claims TO shop_station;

CREATE TABLE shop.restorings (at timestamptz NOT NULL DEFAULT now());
GRANT SELECT ON shop.restorings TO shop_station;

-- Call this after restoring the server, before the stations connect.
CREATE FUNCTION shop.restored() RETURNS void
LANGUAGE sql SET search_path = shop, pg_temp AS $$ INSERT INTO restorings DEFAULT VALUES $$;
REVOKE EXECUTE ON FUNCTION shop.restored FROM PUBLIC;
