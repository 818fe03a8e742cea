-- What a report reads of one record: the tables of facts as in the record's own file, so that the
-- same statements read them. `SET press.record` selects the record; no other schema is searched.
-- The office's role reads them, like all of its views.

CREATE SCHEMA one;
GRANT USAGE ON SCHEMA one TO shop_reader;

DO $$
DECLARE
    part text;
    columns text;
BEGIN
    FOREACH part IN ARRAY ARRAY[
        'events', 'mark', 'shift', 'stint', 'tally', 'job', 'garment', 'closing', 'peel', 'hands',
        'check', 'ruling', 'setting', 'lot', 'noted', 'gone', 'jump'
    ] LOOP
        SELECT string_agg(quote_ident(column_name), ', ' ORDER BY ordinal_position) INTO columns
            FROM information_schema.columns
            WHERE table_schema = 'shop' AND table_name = part AND column_name <> 'record';
        EXECUTE format('CREATE VIEW one.%I AS SELECT %s FROM shop.%I '
            'WHERE record = current_setting(''press.record'')::bigint', part, columns, part);
    END LOOP;
END $$;
GRANT SELECT ON ALL TABLES IN SCHEMA one TO shop_reader;

CREATE INDEX stint_shift ON shop.stint (record, shift);
CREATE INDEX garment_shift ON shop.garment (record, shift);
CREATE INDEX closing_ticket ON shop.closing (record, job, ticket);

-- Which record it is, where its chain begins, and the version of its facts.
CREATE OR REPLACE VIEW office.station AS
    SELECT s.role::text AS name, r.station, r.generation, r.after, r.simulated, r.since, r.sent,
        r.program, e.seq AS events, greatest(r.last - coalesce(e.seq, r.after), 0) AS behind,
        (SELECT max(last) FROM shop.tally t WHERE t.record = r.record) AS told,
        r.record, r.digest, (SELECT version FROM shop.mark m WHERE m.record = r.record) AS version
    FROM shop.stations s LEFT JOIN shop.records r ON r.role = s.role
    LEFT JOIN LATERAL (SELECT seq FROM shop.events WHERE record = r.record
                       ORDER BY seq DESC LIMIT 1) e ON true;
