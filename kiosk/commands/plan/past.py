"""What a station's record tells of how long garments take in this shop."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path

from kiosk.log import default_log
from kiosk.plan.model import Plan
from kiosk.plan.time import Past, past_by_run
from kiosk.words import Words

PastByRun = Mapping[int, Past]


def own_past(plan: Plan, log: Path | None, words: Words) -> PastByRun | None:
    """Return the shop's own cycles by run of `plan`, none where the station has no record yet.

    A record that cannot be read is said on stderr; None where that one was asked for.
    """
    path = log or default_log()
    if log is None and not path.exists():
        return {}
    from kiosk.log.facts import cycles  # the record's rooms take a while to import
    from kiosk.log.store import LogFault, Store

    try:
        with Store.read_only(path) as store:
            return past_by_run(plan, cycles(store))
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return None if log is not None else {}
