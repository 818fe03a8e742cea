"""A station that records until it is killed: `python recording_child.py LOG`.

Prints the number of each event once it is recorded, or `not recorded FILE`, and waits for a line of
input before each further event.
"""

from __future__ import annotations

import sys
from pathlib import Path

from log_samples import at, beginning

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.run.state.events_station import Held


def main(log: str) -> None:
    """Record one event after the other."""
    recorder = Recorder(Store.open(Path(log)))
    recorder.note(*beginning())
    clock = 10.0
    while True:
        if recorder.unrecorded:
            kept = "nowhere" if recorder.kept is None else recorder.kept.path
            print("not recorded", kept, flush=True)
        else:
            print(recorder.last, flush=True)
        sys.stdin.readline()
        recorder.note(Held(at(clock), "phone"))
        clock += 1.0


if __name__ == "__main__":
    main(*sys.argv[1:])
