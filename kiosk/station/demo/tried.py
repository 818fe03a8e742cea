"""The demo's trial: a guessed setting is tried on a piece of cloth, then by a first garment."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.run.facts import LOOKS, Kind
from kiosk.station.demo.hands import Hands
from kiosk.station.pages.page import Page

CLEAN = {
    "peel": "It peeled clean",
    "lifted_edge": "It holds",
    "stretched": "It springs back whole",
    "marks": "No marks",
}
COOL_SECONDS = 30.0


def try_a_piece(hands: Hands, shot: Callable[[str], None]) -> None:
    """Press a piece of the same cloth, fill in its card, write it down."""
    shot("trial")
    hands.touch("Try a piece of the same cloth")
    shown = set()
    while hands.station.desk.page is Page.TRYING:
        press = hands.station.desk.trial.press
        if press is None:
            break
        view = press.view(hands.now())
        if view.kind not in shown:
            shown.add(view.kind)
            shot(f"trial-{view.kind.value}")
        if view.kind is Kind.HEAT or view.bar.meaning is None:
            hands.stage.pass_time(1.0)
        else:
            if view.chips:
                hands.stage.pass_time(COOL_SECONDS)
            hands.bar()
    for look in LOOKS:
        shot(f"trial-look-{look}")
        hands.touch(CLEAN[look])
    shot("trial-passed")
    hands.touch("Write it down as IK")


def try_the_first(hands: Hands) -> None:
    """Let the first garment be the trial: its card serves both."""
    hands.touch("Try the first garment")
