"""The station's memory over a simulated shift, garment after garment on a simulated clock."""

from __future__ import annotations

import json
import os
import shutil
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

HOURS = 8
FRAME = 1 / 4


def main(folder: str) -> None:
    """Press cold-peel garments for eight hours; print the memory in MB after each hour."""
    from kiosk.station.glass import open as header

    os.environ["SDL_VIDEODRIVER"], os.environ["SDL_AUDIODRIVER"] = "offscreen", "dummy"
    header.prepare(window=(1280, 800), fingers=False)
    from kivy.config import Config

    Config.set("graphics", "maxfps", "0")
    from bench_hands import Flips
    from bench_shop import JOBS, PILE, RECIPES, make_shop
    from bench_window import resident_mb

    from kiosk.station.demo.hands import DemoHands
    from kiosk.station.demo.shift import DemoShift
    from kiosk.station.demo.stage import DemoWindow
    from kiosk.station.demo.worker import PIN

    place = Path(folder)
    make_shop(place, PILE, 900)
    shutil.copytree(RECIPES, place / "recipes")
    (place / JOBS).rename(place / "jobs")
    stage = DemoWindow(frame=FRAME, drawn=True)
    Flips()
    shift = DemoShift(DemoHands(stage, place), lambda name: None)
    shift.hands.touch("New here")
    shift.hands.type("IK")
    shift.hands.touch("This is me", "Orsavel ice crew", "Start with")
    shift.hands.type(PIN)  # duplicate numbers are a question for the supervisor
    shift.hands.touch("Enter")
    shift.setting()
    began, memory, seen = stage.now, [resident_mb()], set[str]()
    while stage.now < began + HOURS * 3600:
        shift.cold_move(shift.hands.view, seen)
        while stage.now >= began + len(memory) * 3600:
            memory.append(resident_mb())
    print(json.dumps({"mb": [round(each, 1) for each in memory]}))


if __name__ == "__main__":
    main(sys.argv[1])
