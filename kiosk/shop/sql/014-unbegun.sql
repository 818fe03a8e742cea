-- Garments that a station received for a job that it has not begun: nobody waited for the answer,
-- or the person asking had left the page. The station reports it, and anybody may take them again.
CREATE FUNCTION shop.let_go(of_job text, of_claims bigint[]) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    PERFORM pg_advisory_xact_lock(hashtextextended(of_job, 0));
    UPDATE batches SET claim = NULL, taken = NULL
        WHERE job = of_job AND done IS NULL AND claim IN (
            SELECT c.claim FROM claims c WHERE c.job = of_job AND c.claim = ANY (of_claims)
                AND c.role = session_user AND c.ended IS NOT NULL
                AND NOT EXISTS (
                    SELECT FROM records r JOIN garment g USING (record)
                    WHERE r.role = c.role AND r.station = c.station AND g.job = of_job));
END $$;
REVOKE EXECUTE ON FUNCTION shop.let_go FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.let_go TO shop_station;
