-- What the board shows of each station now, and notifications when that changes.

-- The station's activity after event `seq` (`kiosk/log/record/follower.py`), since and until when
-- by its own clock, and its rack as JSON.
CREATE TABLE shop.now (
    record bigint PRIMARY KEY, seq bigint NOT NULL, wall double precision NOT NULL, kind text
    NOT NULL, phase text NOT NULL, since double precision NOT NULL, due double precision,
    shift bigint NOT NULL, job text NOT NULL, number text NOT NULL, nth bigint NOT NULL, many
    bigint NOT NULL, rack text NOT NULL
);
ALTER TABLE shop.now ENABLE ROW LEVEL SECURITY;
CREATE POLICY own ON shop.now TO shop_station USING (record = ANY (ARRAY(
    SELECT r.record FROM shop.records r WHERE r.role = current_user)));
GRANT SELECT, INSERT, UPDATE ON shop.now TO shop_station;

CREATE VIEW office.now AS SELECT r.role::text AS name, r.generation, t.*
    FROM shop.now t JOIN shop.records r USING (record) WHERE NOT r.simulated;
GRANT SELECT ON office.now TO shop_reader;

-- How far the station's clock was ahead of the server's when it last sent: its times are by its own
-- clock, which may be wrong.
ALTER TABLE shop.records ADD COLUMN ahead double precision NOT NULL DEFAULT 0;
GRANT UPDATE (ahead) ON shop.records TO shop_station;
CREATE OR REPLACE VIEW office.station AS
    SELECT s.role::text AS name, r.station, r.generation, r.after, r.simulated, r.since, r.sent,
        r.program, e.seq AS events, greatest(r.last - coalesce(e.seq, r.after), 0) AS behind,
        (SELECT max(last) FROM shop.tally t WHERE t.record = r.record) AS told,
        r.record, r.digest, (SELECT version FROM shop.mark m WHERE m.record = r.record) AS version,
        r.ahead
    FROM shop.stations s LEFT JOIN shop.records r ON r.role = s.role
    LEFT JOIN LATERAL (SELECT seq FROM shop.events WHERE record = r.record
                       ORDER BY seq DESC LIMIT 1) e ON true;

-- Each sending is notified on the channel `press_sent`, with the number of its record.
CREATE FUNCTION shop.tell_sent() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    PERFORM pg_notify('press_sent', NEW.record::text);
    RETURN NULL;
END $$;
CREATE TRIGGER sent_is_told AFTER UPDATE OF sent ON shop.records
    FOR EACH ROW EXECUTE FUNCTION shop.tell_sent();
