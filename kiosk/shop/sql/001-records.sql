-- Records of all stations: events as stored in a station's file, only ever added to. `kiosk shop
-- init` runs each file once, in one transaction.

DO $$ BEGIN
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'shop_station') THEN
        CREATE ROLE shop_station NOLOGIN;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'shop_reader') THEN
        CREATE ROLE shop_reader NOLOGIN;
    END IF;
END $$;
REVOKE ALL ON SCHEMA shop FROM PUBLIC;
GRANT USAGE ON SCHEMA shop TO shop_station;

-- A station's name for people is the role that it signs in as.
CREATE TABLE shop.stations (
    role name PRIMARY KEY,
    added timestamptz NOT NULL DEFAULT now()
);

-- One chain of events. A record that went on from an old copy of itself is a new generation:
-- `after` is the last event that both have, and `digest` that event's digest; the first has 0 and
-- the digest of the id. `last` is where the station's file ended when it last sent, `program` the
-- version of the program that sent it.
CREATE TABLE shop.records (
    record bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    station text NOT NULL,
    generation integer NOT NULL,
    role name NOT NULL REFERENCES shop.stations,
    after bigint NOT NULL,
    digest bytea NOT NULL,
    simulated boolean NOT NULL,
    since timestamptz NOT NULL DEFAULT now(),
    sent timestamptz,
    last bigint NOT NULL DEFAULT 0,
    program text NOT NULL DEFAULT '',
    UNIQUE (station, generation)
);

CREATE TABLE shop.events (
    record bigint NOT NULL,  -- no foreign key: the policy below checks it, row by row
    seq bigint NOT NULL,
    kind text NOT NULL,
    version integer NOT NULL,
    boot text NOT NULL,
    clock double precision NOT NULL,
    wall double precision NOT NULL,
    payload text NOT NULL,
    sum bigint NOT NULL,
    digest bytea NOT NULL,
    PRIMARY KEY (record, seq)
);

-- No gap and nothing out of order, from any sender.
CREATE FUNCTION shop.events_go_on() RETURNS trigger LANGUAGE plpgsql
SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    part record;
    before bigint;
BEGIN
    FOR part IN SELECT record, min(seq) AS first, max(seq) AS last, count(*) AS many
                FROM added GROUP BY record LOOP
        SELECT coalesce((SELECT seq FROM events WHERE record = part.record AND seq < part.first
                         ORDER BY seq DESC LIMIT 1), after)
            INTO before FROM records WHERE records.record = part.record;
        IF part.first <> before + 1 OR part.many <> part.last - part.first + 1 THEN
            RAISE EXCEPTION 'events of record % do not go on at %', part.record, before + 1
                USING ERRCODE = 'integrity_constraint_violation';
        END IF;
    END LOOP;
    RETURN NULL;
END $$;
CREATE TRIGGER events_go_on AFTER INSERT ON shop.events REFERENCING NEW TABLE AS added
    FOR EACH STATEMENT EXECUTE FUNCTION shop.events_go_on();

CREATE FUNCTION shop.never() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the record is only ever added to';
END $$;
CREATE TRIGGER events_are_never_changed BEFORE UPDATE OR DELETE OR TRUNCATE ON shop.events
    FOR EACH STATEMENT EXECUTE FUNCTION shop.never();

-- Whether a record of this station has this event. The caller must know the digest, so it learns
-- only that a record is a copy of its own.
CREATE FUNCTION shop.has(of_station text, event bigint, its_digest bytea) RETURNS boolean
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = shop, pg_temp AS $$
    SELECT EXISTS (SELECT FROM records r JOIN events e ON e.record = r.record
                   WHERE r.station = of_station AND e.seq = event AND e.digest = its_digest)
        OR EXISTS (SELECT FROM records WHERE station = of_station AND after = event
                   AND digest = its_digest);
$$;

-- Adds a record to the shop: its first generation, or, if a supervisor decides so, the next one,
-- starting at the last event that the shop already has.
CREATE FUNCTION shop.join(of_station text, of_generation integer, from_event bigint,
                          its_digest bytea, is_simulated boolean) RETURNS bigint
LANGUAGE plpgsql SECURITY DEFINER SET search_path = shop, pg_temp AS $$
DECLARE
    made bigint;
BEGIN
    IF of_generation IS NULL THEN
        IF NOT has(of_station, from_event, its_digest) THEN
            RAISE EXCEPTION 'no record of this station has event %', from_event
                USING ERRCODE = 'integrity_constraint_violation';
        END IF;
        SELECT max(generation) + 1 INTO of_generation FROM records WHERE station = of_station;
    ELSIF of_generation <> 1 OR from_event <> 0 THEN
        RAISE EXCEPTION 'a first generation begins at the first event'
            USING ERRCODE = 'integrity_constraint_violation';
    END IF;
    INSERT INTO records (station, generation, role, after, digest, simulated)
        VALUES (of_station, of_generation, session_user, from_event, its_digest, is_simulated)
        RETURNING record INTO made;
    RETURN made;
END $$;
REVOKE EXECUTE ON ALL FUNCTIONS IN SCHEMA shop FROM PUBLIC;
GRANT EXECUTE ON FUNCTION shop.has, shop.join TO shop_station;

-- A station's role sees its own rows and no others.
ALTER TABLE shop.stations ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.records ENABLE ROW LEVEL SECURITY;
ALTER TABLE shop.events ENABLE ROW LEVEL SECURITY;
CREATE POLICY own ON shop.stations TO shop_station USING (role = current_user);
CREATE POLICY own ON shop.records TO shop_station USING (role = current_user);
CREATE POLICY own ON shop.events TO shop_station USING (
    record = ANY (ARRAY(SELECT r.record FROM shop.records r WHERE r.role = current_user)));
GRANT SELECT ON shop.stations, shop.records, shop.events TO shop_station;
GRANT INSERT ON shop.events TO shop_station;
GRANT UPDATE (sent, last, program) ON shop.records TO shop_station;
