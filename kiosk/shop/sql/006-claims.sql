-- Who works on which job, and on which garments of one that several presses share. Every station
-- reads all of it, but writes only as itself. It contains no player's name.

-- A station's claim to work on a job: `station`, `seq` and `digest` identify the record that made
-- it and its state then, so that a copied tablet cannot pass for it. Two active claims that are not
-- both shared have met.
CREATE TABLE shop.claims (
    claim bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    job text NOT NULL,
    role name NOT NULL DEFAULT current_user REFERENCES shop.stations,
    station text NOT NULL,
    seq bigint NOT NULL,
    digest bytea NOT NULL,
    shared boolean NOT NULL,
    since timestamptz NOT NULL DEFAULT now(),
    ended timestamptz,
    ended_by name
);
CREATE INDEX claims_of_job ON shop.claims (job, claim);
CREATE INDEX claims_of_role ON shop.claims (role) WHERE ended IS NULL;

-- Garments of a shared order that stay together: [line, number, size, digest, set] each. `claim` is
-- the one that has taken it, `done` when all of them were finished; if a supervisor gave the rest
-- of it back, `kept` are the lines not to be pressed again, and `given_by` the station where that
-- was decided.
CREATE TABLE shop.batches (
    job text NOT NULL,
    batch integer NOT NULL,
    garments jsonb NOT NULL,
    claim bigint REFERENCES shop.claims,
    taken timestamptz,
    done timestamptz,
    kept text[],
    given_by name,
    PRIMARY KEY (job, batch)
);

-- Whether the caller may speak for a record: nobody else sends it. A policy cannot check this
-- itself, because it sees only the caller's own rows.
CREATE FUNCTION shop.speaks_for(of_station text) RETURNS boolean
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    SELECT NOT EXISTS (SELECT FROM records WHERE station = of_station AND role <> session_user)
        OR EXISTS (SELECT FROM records WHERE station = of_station AND role = session_user);
$$;

-- Roster lines of a job that stations other than the caller's record are known to have pressed.
CREATE FUNCTION shop.pressed(of_job text, besides text)
RETURNS TABLE (role name, station text, sent timestamptz, lines text[])
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    SELECT r.role, r.station, max(r.sent), array_agg(DISTINCT g.line)
    FROM records r JOIN garment g ON g.record = r.record
    WHERE g.job = of_job AND g.finals > 0
        AND NOT (r.role = session_user AND r.station = besides)
        AND r.simulated = coalesce((SELECT bool_or(o.simulated) FROM records o
                                    WHERE o.station = besides AND o.role = session_user), false)
    GROUP BY r.role, r.station;
$$;

-- When the station of a claim last sent: what is known of it dates from then.
CREATE FUNCTION shop.last_sent(of_role name, of_station text) RETURNS timestamptz
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    SELECT max(sent) FROM records r WHERE r.role = of_role AND r.station = of_station;
$$;

-- Ends another station's claim, as a supervisor at the caller's press decided: the job goes on
-- there.
CREATE FUNCTION shop.end_claim(of_other bigint) RETURNS void
LANGUAGE sql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    UPDATE claims AS other SET ended = now(), ended_by = session_user
    WHERE other.claim = of_other AND other.ended IS NULL AND EXISTS (
        SELECT FROM claims own WHERE own.job = other.job AND own.role = session_user
            AND own.ended IS NULL);
$$;

-- A supervisor looked at a batch of a press that is out of order: lines not to be pressed again
-- stay with it, the rest becomes a batch that anybody may take. Returns its number, or NULL if
-- nothing is left or nobody has the batch any more.
CREATE FUNCTION shop.give_back(of_job text, of_batch integer, stays text[]) RETURNS integer
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    rest jsonb;
    made integer;
BEGIN
    PERFORM pg_advisory_xact_lock(hashtextextended(of_job, 0));
    IF NOT EXISTS (SELECT FROM claims WHERE job = of_job AND role = session_user AND shared
                   AND ended IS NULL) THEN
        RAISE EXCEPTION 'only a press that shares this job gives a batch of it back'
            USING ERRCODE = 'insufficient_privilege';
    END IF;
    UPDATE batches SET done = now(), kept = stays, given_by = session_user
        WHERE job = of_job AND batch = of_batch AND claim IS NOT NULL AND done IS NULL
        RETURNING (SELECT jsonb_agg(g ORDER BY nth) FROM jsonb_array_elements(garments)
                   WITH ORDINALITY AS t (g, nth) WHERE NOT g ->> 0 = ANY (stays)) INTO rest;
    IF rest IS NULL THEN
        RETURN NULL;
    END IF;
    SELECT max(batch) + 1 INTO made FROM batches WHERE job = of_job;
    INSERT INTO batches (job, batch, garments) VALUES (of_job, made, rest);
    RETURN made;
END $$;

REVOKE EXECUTE ON FUNCTION shop.speaks_for, shop.pressed, shop.last_sent, shop.end_claim,
    shop.give_back FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.speaks_for, shop.pressed, shop.last_sent, shop.end_claim,
    shop.give_back TO shop_station;

ALTER TABLE shop.claims ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.batches ENABLE ROW LEVEL SECURITY;
CREATE POLICY every ON shop.claims FOR SELECT TO shop_station USING (true);
CREATE POLICY own ON shop.claims FOR INSERT TO shop_station
    WITH CHECK (role = current_user AND ended IS NULL AND shop.speaks_for(station));
CREATE POLICY own_end ON shop.claims FOR UPDATE TO shop_station
    USING (role = current_user AND ended IS NULL) WITH CHECK (ended_by = current_user);
CREATE POLICY every ON shop.batches FOR SELECT TO shop_station USING (true);
CREATE POLICY shared ON shop.batches FOR INSERT TO shop_station WITH CHECK (
    EXISTS (SELECT FROM shop.claims c WHERE c.job = batches.job AND c.role = current_user
            AND c.shared AND c.ended IS NULL AND coalesce(batches.claim = c.claim, true)));
CREATE POLICY take ON shop.batches FOR UPDATE TO shop_station
    USING (done IS NULL AND (claim IS NULL OR claim IN (
        SELECT c.claim FROM shop.claims c WHERE c.role = current_user)))
    WITH CHECK (claim IN (SELECT c.claim FROM shop.claims c
                          WHERE c.role = current_user AND c.job = batches.job));
GRANT SELECT ON shop.claims, shop.batches TO shop_station;
GRANT INSERT (job, station, seq, digest, shared), UPDATE (ended, ended_by)
    ON shop.claims TO shop_station;
GRANT INSERT (job, batch, garments, claim, taken), UPDATE (claim, taken, done)
    ON shop.batches TO shop_station;

-- For the office: who works on what now, and the progress of a shared order.
CREATE VIEW office.claims AS
    SELECT job, role::text AS name, shared, since, ended, ended_by::text FROM shop.claims;
CREATE VIEW office.batches AS
    SELECT b.job, b.batch, jsonb_array_length(b.garments) AS garments,
        ARRAY(SELECT g ->> 0 FROM jsonb_array_elements(b.garments) g) AS lines,
        c.role::text AS name, b.taken, b.done, b.kept, b.given_by::text
    FROM shop.batches b LEFT JOIN shop.claims c USING (claim);
GRANT SELECT ON office.claims, office.batches TO shop_reader;
