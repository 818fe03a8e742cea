-- The last event with facts is looked up instead of searched for in all of a record's years: it is
-- in the newest stint, or outside any (0).

CREATE OR REPLACE VIEW office.station AS
    SELECT s.role::text AS name, r.station, r.generation, r.after, r.simulated, r.since, r.sent,
        r.program, e.seq AS events, greatest(r.last - coalesce(e.seq, r.after), 0) AS behind,
        (SELECT max(last) FROM shop.tally t WHERE t.record = r.record AND t.stint IN (
            0, (SELECT max(stint) FROM shop.tally n WHERE n.record = r.record))) AS told,
        r.record, r.digest, (SELECT version FROM shop.mark m WHERE m.record = r.record) AS version,
        r.ahead
    FROM shop.stations s LEFT JOIN shop.records r ON r.role = s.role
    LEFT JOIN LATERAL (SELECT seq FROM shop.events WHERE record = r.record
                       ORDER BY seq DESC LIMIT 1) e ON true;
