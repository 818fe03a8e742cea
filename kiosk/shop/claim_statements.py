"""The SQL of claims at the shop's server."""

LOCK = "SELECT current_user, pg_advisory_xact_lock(hashtextextended(%s, 0))"
EVERY = """SELECT claim, role::text, station, seq, digest, shared,
    CASE WHEN ended IS NOT NULL THEN coalesce(ended_by::text, '') END,
    to_jsonb(c) -> 'plan' FROM shop.claims c """  # a server with an older schema has no plans
OWN = EVERY + "WHERE role = current_user AND ended IS NULL AND job <> %s"
OF_JOB = EVERY + "WHERE job = %s ORDER BY claim"
PLAN = "SELECT to_jsonb(c) ? 'plan', to_jsonb(c) -> 'plan' FROM shop.claims c WHERE claim = %s"
STORE_PLAN = "UPDATE shop.claims SET plan = %s WHERE claim = %s"
END = "UPDATE shop.claims SET ended = now(), ended_by = current_user WHERE claim = ANY (%s)"
END_AT = """UPDATE shop.claims SET ended = now(), ended_by = current_user, at_end = %s
WHERE claim = ANY (%s)"""
CLAIM = """INSERT INTO shop.claims (job, station, seq, digest, shared)
VALUES (%s, %s, %s, %s, %s) RETURNING claim"""
BATCHES = """SELECT batch, garments, claim, done IS NOT NULL, kept, given_by::text
FROM shop.batches WHERE job = %s ORDER BY batch"""
CUT = "INSERT INTO shop.batches (job, batch, garments) VALUES (%s, %s, %s)"
AGAIN = """INSERT INTO shop.batches (job, batch, garments, claim, taken)
VALUES (%s, %s, %s, %s, now())"""
TAKE = "UPDATE shop.batches SET claim = %s, taken = now() WHERE job = %s AND batch = %s"
DONE = """UPDATE shop.batches SET done = now()
WHERE job = %s AND batch = ANY (%s) AND done IS NULL"""
KEEPS_LEFT = "SELECT to_regclass('shop.unpressed') IS NOT NULL"
LEFT = "SELECT claim FROM shop.unpressed WHERE job = %s"
LETS_GO = "SELECT to_regprocedure('shop.let_go(text, bigint[])') IS NOT NULL"
OPENS_AGAIN = "SELECT to_regprocedure('shop.again(text, integer)') IS NOT NULL"
SEEN = "UPDATE shop.claims SET seen = now() WHERE claim = %s AND seen < now() - %s::interval"
SEEN_EVERY = "20s"
UNHEARD = """SELECT count(*) FROM shop.claims WHERE job = %s AND ended IS NULL
AND seen < (SELECT max(at) FROM shop.restorings)"""
LAST_SENT = "SELECT extract(epoch FROM shop.last_sent(%s::name, %s))::float8"
PRESSED = """SELECT role::text, station, extract(epoch FROM sent)::float8, lines,
    to_jsonb(p) -> 'unfinished' FROM shop.pressed({}) AS p"""
OF_COPIES = "SELECT to_regprocedure('shop.pressed(text, text, bigint, bigint)') IS NOT NULL"
SPEAKS = "SELECT shop.speaks_for(%s)"
