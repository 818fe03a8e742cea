"""Makes the golden log of a release, once:

    PYTHONPATH=.:tests/log python tests/log/golden/make_golden.py

An existing golden log is never made again: it holds what shops have on their disks.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from all_tickets import ticket_rows
from log_station import order, signed_on

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.train.made_up_operator.habits import Habits
from kiosk.train.made_up_operator.operator import simulate

HERE = Path(__file__).resolve().parent
RELEASE = "0.1.0"


def main() -> None:
    """Write the log and its expected results beside this file; refuse if they exist."""
    path = HERE / f"{RELEASE}.sqlite3"
    if path.exists():
        sys.exit(f"{path} stands already")
    recorder = Recorder(Store.open(path, simulated=True))
    simulate(recorder, order(15), seed=4, garments=10, habits=Habits(*[0.06] * 15))
    simulate(recorder, order(15), seed=5, garments=2)
    recorder.close()
    with Store.read_only(path) as store:
        tickets = {row.ticket: row.stage.value for row in ticket_rows(store)}
        comes_to = {"events": store.last, "tickets": tickets, "operators": signed_on(store)}
    path.with_suffix(".json").write_text(json.dumps(comes_to, indent=1) + "\n", "utf-8")
    for part in (".lock", ".holder", "-wal", "-shm"):
        path.with_name(path.name + part).unlink(missing_ok=True)


if __name__ == "__main__":
    main()
