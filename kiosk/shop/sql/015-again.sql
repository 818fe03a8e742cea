-- A batch that its press reported as done, although it presses a garment of it again: a result was
-- taken back, or a scrap opened a new copy. The batch is reopened, so that it can go to another
-- press if that one is out of order. What was given back stays given back.
CREATE FUNCTION shop.again(of_job text, of_batch integer) RETURNS void
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
BEGIN
    PERFORM pg_advisory_xact_lock(hashtextextended(of_job, 0));
    UPDATE batches SET done = NULL
        WHERE job = of_job AND batch = of_batch AND done IS NOT NULL AND given_by IS NULL
            AND claim IN (SELECT c.claim FROM claims c
                          WHERE c.job = of_job AND c.role = session_user);
END $$;
REVOKE EXECUTE ON FUNCTION shop.again FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.again TO shop_station;
