"""The SQL of a shift's facts. Each statement gets the stints as one JSON array and reads by range.

A ticket is named `<line>/<pass, from 1>/<copy>`; the pass is taken from its name.
"""

BREAK_SECONDS = 600.0
"""A longer time without any event is a break, not work."""
SAMPLE = 20
"""Garments in one sample of the defect chart."""

# The condition is word for word that of the index `turns`, so that SQLite uses it. A shift opens
# with a sign-on where none is open; the initials of all sign-ons stand between CHAR(31).
SHIFTS = """
WITH turns AS (
    SELECT seq, kind, boot, clock, wall, json_extract(payload, '$.operator') AS operator,
           kind = 'signed-on' AND lag(kind, 1, 'handed-over') OVER (ORDER BY seq) = 'handed-over'
           AS opens,
           kind = 'handed-over' AND lag(kind) OVER (ORDER BY seq) = 'signed-on' AS closes
    FROM events
    WHERE kind IN ('station-started', 'signed-on', 'handed-over', 'job-started')
    AND kind IN ('signed-on', 'handed-over')
), numbered AS (SELECT *, sum(opens) OVER (ORDER BY seq) AS shift FROM turns)
SELECT shift, min(seq), max(seq) FILTER (WHERE closes),
       group_concat(operator, char(31)) FILTER (WHERE kind = 'signed-on'),
       max(boot) FILTER (WHERE opens), max(clock) FILTER (WHERE opens),
       max(wall) FILTER (WHERE opens), max(boot) FILTER (WHERE closes),
       max(clock) FILTER (WHERE closes), max(wall) FILTER (WHERE closes)
FROM numbered WHERE shift > 0 GROUP BY shift ORDER BY shift
"""

CUTS = """
SELECT seq, kind, json_extract(payload, '$.operator'), json_extract(payload, '$.job') FROM events
WHERE seq BETWEEN ? AND ?
AND kind IN ('signed-on', 'job-started', 'job-taken', 'job-left') ORDER BY seq
"""

JOB_BEFORE = """
SELECT CASE kind WHEN 'job-left' THEN '' ELSE json_extract(payload, '$.job') END FROM events
WHERE kind IN ('job-started', 'job-taken', 'job-left') AND seq < ? ORDER BY seq DESC LIMIT 1
"""

# Word for word the expression and condition of the index `job_starts`.
BEGUN = """
SELECT seq, kind, version, json_remove(payload, '$.garments') FROM events
WHERE kind = 'job-started' AND substr(payload, 1, 300) >= ? AND substr(payload, 1, 300) < ?
ORDER BY seq LIMIT 1
"""

# Word for word the condition of the index `checks`.
CHECKS = """
SELECT seq FROM events WHERE kind = 'press-verified' AND seq <= ? ORDER BY seq DESC LIMIT ?
"""

_STINTS = """
WITH stints AS MATERIALIZED (
    SELECT json_extract(value, '$[0]') AS nth, json_extract(value, '$[1]') AS first,
           json_extract(value, '$[2]') AS last
    FROM json_each(?)
)"""
_IN_STINTS = "stints CROSS JOIN events AS e ON e.seq BETWEEN stints.first AND stints.last"
_PASS = """rtrim(rtrim({ticket}, '0123456789'), '/')"""
_PASSAGE = f"CAST(substr({_PASS}, length(rtrim({_PASS}, '0123456789')) + 1) AS INTEGER) - 1"


def _passage(ticket: str) -> str:
    return _PASSAGE.format(ticket=ticket)


TALLIES = f"""{_STINTS}, beats AS (
    SELECT nth, kind, CASE WHEN boot = lag(boot) OVER w THEN clock - lag(clock) OVER w END AS gap,
           lag(kind) OVER w AS before
    FROM {_IN_STINTS} WINDOW w AS (PARTITION BY nth ORDER BY seq)
)
SELECT nth, kind, count(*), total(gap),
       total(gap) FILTER (WHERE before IN ('held', 'job-done') OR gap > {BREAK_SECONDS})
FROM beats GROUP BY nth, kind
"""

CLOSINGS = f"""{_STINTS}, hot AS (
    SELECT nth, seq, kind, wall, json_extract(payload, '$.ticket') AS ticket,
           json_extract(payload, '$.step') AS step, json_extract(payload, '$.seen') AS seen,
           json_extract(payload, '$.dwell_seconds') AS dwell,
           json_extract(payload, '$.after_deadline') AS over,
           json_extract(payload, '$.heat_seconds') AS heat
    FROM {_IN_STINTS}
    WHERE kind IN ('closed', 'closing-seen', 'time-up', 'opened', 'was-closed', 'not-closed',
                   'outcome-unknown', 'told-pressed', 'never-closed')
), numbered AS (
    SELECT *, sum(kind IN ('closed', 'told-pressed')) OVER (
        PARTITION BY nth, ticket ORDER BY seq
    ) AS closing
    FROM hot
), each AS (
    SELECT nth, ticket, max(step) AS step, max(wall) AS wall, max(dwell) AS dwell,
           max(CASE WHEN kind = 'closing-seen' THEN 'measured'
                    WHEN kind = 'told-pressed' THEN 'told'
                    WHEN kind = 'closed' THEN seen END) AS closing,
           max(CASE WHEN kind = 'opened' THEN seen WHEN kind = 'told-pressed' THEN 'told'
                    WHEN kind = 'was-closed' THEN 'declared' END) AS opening,
           max(CASE WHEN kind = 'opened' THEN over END) AS over,
           max(CASE WHEN kind = 'was-closed' THEN heat END) AS heat
    FROM numbered WHERE closing > 0 GROUP BY nth, ticket, closing
    HAVING total(kind IN ('not-closed', 'never-closed')) = 0
)
SELECT nth, {_passage("ticket")}, step, closing, coalesce(opening, 'not seen'), count(*),
       json_group_array(json_array(wall, dwell, round(coalesce(heat - dwell, over), 2)))
           FILTER (WHERE opening IN ('measured', 'declared')
                   AND coalesce(heat - dwell, over) IS NOT NULL)
FROM each GROUP BY 1, 2, 3, 4, 5
"""

# A tone of a closing that never was is none.
CYCLES = f"""{_STINTS}, told AS (
    SELECT nth, seq, boot, clock, kind, {_passage("json_extract(payload, '$.ticket')")} AS passage,
           json_extract(payload, '$.step') AS step,
           lead(kind) OVER (PARTITION BY nth, json_extract(payload, '$.ticket') ORDER BY seq)
           AS following
    FROM {_IN_STINTS} WHERE kind IN ('time-up', 'closed', 'never-closed')
), tones AS (
    SELECT * FROM told WHERE kind = 'time-up' AND coalesce(following, '') <> 'never-closed'
), gaps AS (
    SELECT nth, passage, step,
           CASE WHEN boot = lag(boot) OVER w THEN clock - lag(clock) OVER w END AS gap
    FROM tones WINDOW w AS (PARTITION BY nth, passage, step ORDER BY seq)
)
SELECT nth, passage, 0, step, json_group_array(round(gap, 1)) FROM gaps
WHERE gap BETWEEN 0 AND 2 * {BREAK_SECONDS} GROUP BY 1, 2, 4
"""

MOVES = f"""{_STINTS}, beats AS (
    SELECT nth, kind, CASE WHEN boot = lag(boot) OVER w THEN clock - lag(clock) OVER w END AS gap,
           payload, lag(kind) OVER w AS before
    FROM {_IN_STINTS} WINDOW w AS (PARTITION BY nth ORDER BY seq)
), hands AS (
    SELECT nth, gap, {_passage("json_extract(payload, '$.ticket')")} AS passage,
           json_extract(payload, '$.first') AS first,
           CASE kind WHEN 'closed' THEN json_extract(payload, '$.step')
                     ELSE json_extract(payload, '$.last') + 1 END AS step
    FROM beats WHERE kind IN ('closed', 'confirmed') AND gap BETWEEN 0 AND {BREAK_SECONDS}
    AND before <> 'never-closed'
)
SELECT nth, passage, first, step, json_group_array(round(gap, 1)) FROM hands
WHERE first < step GROUP BY 1, 2, 3, 4
"""

PEELS = f"""{_STINTS}, told AS (
    SELECT nth, seq, kind, boot, clock, json_extract(payload, '$.ticket') AS ticket,
           CASE kind WHEN 'time-up' THEN json_extract(payload, '$.due') WHEN 'finished' THEN NULL
                     ELSE clock END AS opened,
           json_extract(payload, '$.peeled') AS peeled,
           json_extract(payload, '$.before') AS before
    FROM {_IN_STINTS}
    WHERE kind IN ('time-up', 'opened', 'was-closed', 'told-pressed', 'finished')
), waits AS (
    SELECT nth, kind, peeled, before, ticket,
           sum(coalesce(peeled, 0)) OVER (PARTITION BY nth, ticket ORDER BY seq) AS peels,
           clock - max(opened) OVER (PARTITION BY nth, boot, ticket ORDER BY seq) AS waited
    FROM told
)
SELECT nth, {_passage("ticket")},
       json_group_array(round(waited, 1)) FILTER (WHERE NOT before),
       json_group_array(round(waited, 1)) FILTER (WHERE before)
FROM waits WHERE kind = 'finished' AND peeled AND peels = 1 AND waited IS NOT NULL GROUP BY 1, 2
"""

NOTED_KINDS = (
    "finished", "read-back", "setting-read", "was-closed", "unasked-closing", "outcome-unknown",
    "skipped", "set-aside", "stopped", "taken-back", "held", "restarted", "repress-allowed",
    "ruled", "press-verified", "verification-lapsed", "overridden", "first-article-judged",
    "trial-judged", "handed-over",
)  # fmt: skip
_NOTED = ", ".join(f"'{kind}'" for kind in NOTED_KINDS)
NOTED = f"""{_STINTS}
SELECT nth, seq, kind, version, boot, clock, wall, payload, sum FROM {_IN_STINTS}
WHERE kind IN ({_NOTED})
AND (kind <> 'finished' OR json_extract(payload, '$.stage') <> 'good'
     OR json_extract(payload, '$.early_seconds') IS NOT NULL)
AND (kind <> 'read-back' OR NOT json_extract(payload, '$.right')) ORDER BY seq
"""

_JOBS_AND_SHIFTS = "WITH shifts AS (SELECT value AS shift FROM json_each(?))"
_RESULT = """CASE WHEN total(stage = 'scrap') THEN 'scrap'
            WHEN total(stage = 'rework') THEN 'rework'
            WHEN total(stage NOT IN ('good', 'accepted')) THEN 'open'
            WHEN total(stage = 'accepted') THEN 'accepted' ELSE 'good' END"""

GARMENTS = f"""{_JOBS_AND_SHIFTS}, garments AS (
    SELECT job, line, copy, {_RESULT} AS result, max(coalesce(ended, 0.0)) AS ended, shift,
           total(represses) = 0 AND total(defect <> '') = 0 AS clean
    FROM {{tickets}} AS tickets WHERE job IN (SELECT value FROM json_each(?))
    GROUP BY job, line, copy
), told AS (
    SELECT *, copy = max(copy) OVER (PARTITION BY job, line) AS latest,
           result <> 'open' AND shift IN (SELECT shift FROM shifts) AS own FROM garments
)
SELECT job, result, own, latest, result = 'good' AND clean, count(*) FROM told
GROUP BY 1, 2, 3, 4, 5
"""

SAMPLES = f"""{_JOBS_AND_SHIFTS}, ended AS (
    SELECT ended, defect <> '' OR represses > 0 OR stage = 'scrap' AS defective,
           (row_number() OVER (ORDER BY ended) - 1) / {SAMPLE} AS sample
    FROM {{tickets}} AS tickets WHERE shift IN (SELECT shift FROM shifts) AND ended IS NOT NULL
)
SELECT count(*), CAST(total(defective) AS INTEGER), min(ended) FROM ended
GROUP BY sample ORDER BY 3
"""

SPOILED = f"""{_JOBS_AND_SHIFTS}
SELECT job, line, number, json_group_array(passage) FROM {{tickets}} AS tickets
WHERE shift IN (SELECT shift FROM shifts) AND stage IN ('scrap', 'void')
AND (stage = 'scrap' OR finals > 0) GROUP BY job, line, copy
"""

MARKED = f"""{_JOBS_AND_SHIFTS}
SELECT job, line, number, group_concat(marks) FROM {{tickets}} AS tickets
WHERE shift IN (SELECT shift FROM shifts) AND stage = 'good' AND marks NOT IN ('', 'over')
GROUP BY job, line, copy
"""

# The files are read when the program starts, before anybody has signed on.
FILES = """
SELECT seq, kind, version, boot, clock, wall, payload, sum FROM events
WHERE kind = 'recipes-read' AND seq < ?1 AND seq > (
    SELECT coalesce(max(seq), 0) FROM events
    WHERE kind IN ('station-started', 'signed-on', 'handed-over', 'job-started')
    AND kind = 'handed-over' AND seq < ?1
) ORDER BY seq
"""

NUMBER = "SELECT line, number FROM {tickets} AS tickets WHERE job = ? AND ticket = ?"

PRESSED = f"""{_STINTS}, told AS (
    SELECT nth, seq, kind, payload, lead(kind) OVER (
        PARTITION BY nth, json_extract(payload, '$.ticket') ORDER BY seq
    ) AS following
    FROM {_IN_STINTS} WHERE kind IN ('closed', 'told-pressed', 'not-closed', 'never-closed')
)
SELECT nth, json_extract(payload, '$.ticket'), json_extract(payload, '$.step') FROM told
WHERE kind IN ('closed', 'told-pressed')
AND coalesce(following, '') NOT IN ('not-closed', 'never-closed') ORDER BY seq
"""
