-- Facts: rows that a station's program derived from its events, in the tables of
-- `kiosk/log/facts/tables.py` preceded by the record. A station replaces rows of its own as they
-- change. `mark` has the version of the facts, and a report reads none of another version; `tally`
-- has the last event processed.

CREATE TABLE shop.mark (
    record bigint NOT NULL, "only" bigint NOT NULL, version bigint NOT NULL, PRIMARY KEY
    (record, "only")
);
CREATE TABLE shop.shift (
    record bigint NOT NULL, shift bigint NOT NULL, first bigint NOT NULL, last bigint, boot
    text NOT NULL, clock double precision NOT NULL, wall double precision NOT NULL, end_boot
    text, end_clock double precision, end_wall double precision, PRIMARY KEY (record, shift)
);
CREATE TABLE shop.stint (
    record bigint NOT NULL, stint bigint NOT NULL, shift bigint NOT NULL, operator text NOT
    NULL, job text NOT NULL, press text NOT NULL, first bigint NOT NULL, last bigint, began
    double precision NOT NULL, ended double precision, PRIMARY KEY (record, stint)
);
CREATE TABLE shop.tally (
    record bigint NOT NULL, stint bigint NOT NULL, kind text NOT NULL, many bigint NOT NULL,
    seconds double precision NOT NULL, idle double precision NOT NULL, last bigint NOT NULL,
    gone double precision NOT NULL, PRIMARY KEY (record, stint, kind)
);
CREATE TABLE shop.job (
    record bigint NOT NULL, job text NOT NULL, seq bigint NOT NULL, title text NOT NULL,
    recipe text NOT NULL, fabric text NOT NULL, press text NOT NULL, garments bigint NOT NULL,
    due text NOT NULL, done bigint, PRIMARY KEY (record, job)
);
CREATE TABLE shop.garment (
    record bigint NOT NULL, job text NOT NULL, ticket text NOT NULL, line text NOT NULL,
    passage bigint NOT NULL, copy bigint NOT NULL, number text NOT NULL, size text NOT NULL,
    panel text NOT NULL, stage text NOT NULL, finals bigint NOT NULL, represses bigint NOT
    NULL, opened double precision, opened_seen text NOT NULL, marks text NOT NULL, replaced_by
    bigint NOT NULL, shift bigint NOT NULL, operator text NOT NULL, ended double precision,
    ended_at bigint, defect text NOT NULL, cause text NOT NULL, piece text NOT NULL, early
    double precision, told bigint NOT NULL, PRIMARY KEY (record, job, ticket)
);
CREATE TABLE shop.closing (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, job text NOT NULL,
    ticket text NOT NULL, line text NOT NULL, passage bigint NOT NULL, copy bigint NOT NULL,
    press text NOT NULL, step bigint NOT NULL, phase text NOT NULL, closed_seen text NOT NULL,
    opened_seen text NOT NULL, set_seconds double precision, over double precision, asked
    bigint, shown bigint, wall double precision NOT NULL, boot text NOT NULL, rang double
    precision, cooling double precision, told bigint NOT NULL, PRIMARY KEY (record, stint,
    seq)
);
CREATE TABLE shop.peel (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, job text NOT NULL,
    ticket text NOT NULL, line text NOT NULL, passage bigint NOT NULL, copy bigint NOT NULL,
    waited double precision NOT NULL, before bigint NOT NULL, early double precision, PRIMARY
    KEY (record, stint, seq)
);
CREATE TABLE shop.hands (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, job text NOT NULL,
    ticket text NOT NULL, line text NOT NULL, passage bigint NOT NULL, copy bigint NOT NULL,
    first bigint NOT NULL, step bigint NOT NULL, seconds double precision NOT NULL, PRIMARY
    KEY (record, stint, seq)
);
CREATE TABLE shop."check" (
    record bigint NOT NULL, seq bigint NOT NULL, stint bigint NOT NULL, press text NOT NULL,
    temperature bigint NOT NULL, unit text NOT NULL, "offset" double precision NOT NULL,
    spread double precision NOT NULL, offset_most double precision NOT NULL, spread_most
    double precision NOT NULL, passed bigint NOT NULL, PRIMARY KEY (record, seq)
);
CREATE TABLE shop.ruling (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, job text NOT NULL,
    ticket text NOT NULL, what text NOT NULL, who text NOT NULL, why text NOT NULL, PRIMARY
    KEY (record, stint, seq)
);
CREATE TABLE shop.setting (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, job text NOT NULL,
    press text NOT NULL, shown bigint NOT NULL, asked bigint NOT NULL, fits bigint NOT NULL,
    PRIMARY KEY (record, stint, seq)
);
CREATE TABLE shop.lot (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, material text NOT
    NULL, job text NOT NULL, lot text NOT NULL, PRIMARY KEY (record, stint, seq, material)
);
CREATE TABLE shop.noted (
    record bigint NOT NULL, stint bigint NOT NULL, seq bigint NOT NULL, kind text NOT NULL,
    PRIMARY KEY (record, stint, seq)
);
CREATE TABLE shop.gone (
    record bigint NOT NULL, seq bigint NOT NULL, fact text NOT NULL, job text NOT NULL, ticket
    text NOT NULL, was bigint NOT NULL, PRIMARY KEY (record, seq, fact, job, ticket)
);
CREATE TABLE shop.jump (
    record bigint NOT NULL, seq bigint NOT NULL, shift bigint NOT NULL, seconds double
    precision NOT NULL, PRIMARY KEY (record, seq)
);

DO $$
DECLARE
    fact text;
BEGIN
    FOREACH fact IN ARRAY ARRAY[
        'mark', 'shift', 'stint', 'tally', 'job', 'garment', 'closing', 'peel', 'hands',
        'check', 'ruling', 'setting', 'lot', 'noted', 'gone', 'jump'
    ] LOOP
        EXECUTE format('ALTER TABLE shop.%I ENABLE ROW LEVEL SECURITY', fact);
        EXECUTE format('CREATE POLICY own ON shop.%I TO shop_station USING (record = ANY (ARRAY('
            'SELECT r.record FROM shop.records r WHERE r.role = current_user)))', fact);
        EXECUTE format('GRANT SELECT, INSERT, DELETE ON shop.%I TO shop_station', fact);
    END LOOP;
END $$;
