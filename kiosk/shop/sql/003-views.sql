-- What the office reads, under its own role and nothing else of the database. It contains no
-- player's name: none ever leaves a station.

CREATE SCHEMA office;
GRANT USAGE ON SCHEMA office TO shop_reader;

-- One row per record: who sends it, how much of it is here, and how much its station had when it
-- last sent.
CREATE VIEW office.station AS
    SELECT s.role::text AS name, r.station, r.generation, r.after, r.simulated, r.since, r.sent,
        r.program, e.seq AS events, greatest(r.last - coalesce(e.seq, r.after), 0) AS behind,
        (SELECT max(last) FROM shop.tally t WHERE t.record = r.record) AS told
    FROM shop.stations s LEFT JOIN shop.records r ON r.role = s.role
    LEFT JOIN LATERAL (SELECT seq FROM shop.events WHERE record = r.record
                       ORDER BY seq DESC LIMIT 1) e ON true;

-- The events and every table of facts, preceded by the station's name and generation; without those
-- of simulations.
DO $$
DECLARE
    part text;
BEGIN
    FOREACH part IN ARRAY ARRAY[
        'events', 'shift', 'stint', 'tally', 'job', 'garment', 'closing', 'peel', 'hands',
        'check', 'ruling', 'setting', 'lot', 'noted', 'gone', 'jump'
    ] LOOP
        EXECUTE format('CREATE VIEW office.%I AS SELECT r.role::text AS name, r.generation, t.* '
            'FROM shop.%I t JOIN shop.records r USING (record) WHERE NOT r.simulated', part, part);
    END LOOP;
END $$;
GRANT SELECT ON ALL TABLES IN SCHEMA office TO shop_reader;
