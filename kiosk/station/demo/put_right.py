"""The demo's look at what can be done beside going on: choices, a closing put right, the platen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.station.demo.hands import READS
from kiosk.station.inputs.press import LONG_SECONDS

if TYPE_CHECKING:
    from kiosk.station.demo.worker import Worker


def look_at_choices(worker: Worker) -> None:
    """Close once, then look at each page that a long press, back one and hold lead to."""
    hands, shot = worker.hands, worker.shot
    hands.bar()
    hands.until_open()
    hands.stage.wait(1.0)
    hands.stage.tap(*hands._foot().bar.centre, seconds=LONG_SECONDS + 0.1)
    shot("choices")
    hands.touch("Go on")
    hands.side(right=False)
    shot("was-it-closed")
    number = hands.view.number
    hands.touch(f"{number} is pressed already")
    shot("told")
    hands.touch("back")
    hands.stage.wait(READS)
    hands.side(right=True)
    shot("held-in-mid-garment")
    hands.touch("Put the job back")
    shot("clear-platen")
    hands.touch("back")
