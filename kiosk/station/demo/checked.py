"""The demo's rules of the shop: changed on the screen, then a checked press and a first garment."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.run.views import Kind

if TYPE_CHECKING:
    from kiosk.station.demo.shift import Shift

WAIT_SECONDS = 31.0  # what three wrong PINs cost


def change_the_policy(shift: Shift) -> None:
    """From the list of jobs: wrong PINs, then a policy and a tolerance changed, and the upkeep."""
    hands, shot = shift.hands, shift.shot
    hands.touch("Supervisor")
    for _ in range(3):
        hands.type("1111")
        hands.touch("Enter")
    shot("pin-wait")
    hands.stage.wait(WAIT_SECONDS)
    shift.supervisor("Recipes and policy")
    shot("files")
    hands.touch("shop")
    shot("values")
    _change(shift, "presses", "bench-1", "tolerance")
    hands.type("999")
    hands.touch("Write it into the file")
    shot("value-refused")
    hands.touch("Another value")
    shot("value-number")
    hands.touch("6", "Write it into the file")
    hands.touch("back", "back")
    _change(shift, "policy", "verify", "demand")
    shot("value-word")
    hands.touch("asked", "back")
    hands.touch("first_article", "demand", "asked", "back", "back", "back", "back")
    hands.touch("Upkeep")
    shot("upkeep")
    hands.touch("bench-1: cover sheet", "back", "back")


def _change(shift: Shift, *keys: str) -> None:
    shift.hands.touch(*keys)


def check_the_press(shift: Shift) -> None:
    """A card that fails, the supervisor's page for going on all the same, and one that passes."""
    hands, shot = shift.hands, shift.shot
    hands.until(lambda view: view.kind is Kind.VERIFY)
    shot("verify-begin")
    hands.touch("let pass")
    hands.type("2468")
    hands.touch("Enter")
    shot("override")
    hands.touch("back", "Begin the card")
    shot("verify-reading")
    card(shift, 12, "slips")
    shot("verify-card")
    hands.touch("Write it down")
    shot("verify-failed")
    hands.touch("Check again")
    card(shift, 1, "holds")
    hands.touch("Write it down")


def card(shift: Shift, off: int, front: str) -> None:
    """Fill a card in: every reading `off` degrees, the strip in front as told."""
    hands = shift.hands
    for place in range(5):
        hands.type(str(hands.station.desk.checks.set_value + off - place))
        hands.touch("Next")
    shift.shot(f"verify-paper-{front}")
    hands.touch("It holds", "It holds", f"It {front}", "It holds")


def look_at_the_first(shift: Shift) -> None:
    """The first garment of the lot: measured, looked over, approved by the supervisor."""
    hands, shot = shift.hands, shift.shot
    shot("lot-first")
    hands.touch("Look it over", "0", ".", "1", "Next")
    shot("lot-side")
    hands.touch("To the right")
    shot("lot-along")
    hands.touch("Next")
    shot("lot-edge")
    hands.touch("It holds", "No marks", "It springs back whole")
    shot("lot-approve")
    hands.touch("Approved: the supervisor")
    hands.type("2468")
    hands.touch("Enter")


def hand_over(shift: Shift) -> None:
    """Tell what is open, and end the shift."""
    hands, shot = shift.hands, shift.shot
    hands.touch("hand over")
    shot("hand-over")
    hands.touch("Next: what is open?", "the pad is worn")
    shot("open-questions")
    hands.touch("Next: who comes?")
    shot("who-comes")
    hands.touch("Nobody yet")
