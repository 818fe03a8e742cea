"""A real offscreen station in a trial, which kills itself at a given step.

`python trial_child.py PLACE STEP`. STEP is `begun`, `pressed`, `looked`, or a number n: the n-th
time that a file of the shop is opened for writing, or renamed, once the finding is recorded.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path
from typing import Any

from station_window import SIZE, open_window


def killed() -> None:
    """Die as in a power cut, without any cleanup."""
    os.kill(os.getpid(), signal.SIGKILL)


def kill_at(folder: Path, nth: int) -> None:
    """Kill this process at the n-th opening or renaming of a new file in `folder`."""
    remaining = nth

    def audit(event: str, what: tuple[Any, ...]) -> None:
        nonlocal remaining
        if event in ("open", "os.rename") and str(what[0]).startswith(str(folder)):
            if event == "open" and not str(what[0]).endswith(".new"):
                return
            remaining -= 1
            if remaining == 0:
                killed()

    sys.addaudithook(audit)


def main(place: str, step: str) -> None:
    """Try the setting of a new shop's job, up to the step."""
    open_window()
    from station_harness import Bench
    from trial_person import CLEAN, PIECE, before_the_trial, press_piece

    person = before_the_trial(Bench(SIZE), Path(place))
    person.choose(PIECE)
    if step == "begun":
        killed()
    press_piece(person)
    if step == "pressed":
        killed()
    person.choose(*CLEAN)
    if step == "looked":
        killed()
    kill_at(Path(place) / "recipes", int(step))
    person.choose("Write it down as IK")
    sys.stdout.write("done\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
