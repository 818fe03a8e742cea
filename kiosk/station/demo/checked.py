"""The demo's rules of the shop: changed on the screen, then a checked press and a first garment."""

from __future__ import annotations

from kiosk.run.facts import Kind
from kiosk.station.demo.worker import Worker
from kiosk.station.desk.sheet import Page
from kiosk.station.desk.work.checks import Checks

WAIT_SECONDS = 31.0  # what three wrong PINs cost


def change_the_policy(worker: Worker) -> None:
    """From the list of jobs: wrong PINs, then a policy and a tolerance changed, and the upkeep."""
    hands, shot = worker.hands, worker.shot
    hands.touch("Supervisor")
    for _ in range(3):
        hands.type("1111")
        hands.touch("Enter")
    shot("pin-wait")
    hands.stage.wait(WAIT_SECONDS)
    worker.supervisor("Recipes and policy")
    shot("files")
    hands.touch("shop")
    shot("values")
    _change(worker, "presses", "heron", "tolerance")
    hands.type("999")
    hands.touch("Write it into the file")
    shot("value-refused")
    hands.touch("Another value")
    shot("value-number")
    hands.touch("6", "Write it into the file")
    hands.touch("back", "back")
    _change(worker, "policy", "verify", "demand")
    shot("value-word")
    hands.touch("asked", "back")
    hands.touch("first_article", "demand", "asked", "back", "back", "back", "back")
    hands.touch("Upkeep")
    shot("upkeep")
    hands.touch("heron: cover sheet", "back", "back")


def _change(worker: Worker, *keys: str) -> None:
    worker.hands.touch(*keys)


def check_the_press(worker: Worker) -> None:
    """A card that fails, the supervisor's page for going on all the same, and one that passes."""
    hands, shot = worker.hands, worker.shot
    hands.until(lambda view: view.kind is Kind.VERIFY)
    shot("verify-begin")
    hands.touch("let pass")
    hands.type("2468")
    hands.touch("Enter")
    shot("override")
    hands.touch("back", "Begin the card")
    shot("verify-reading")
    card(worker, 12, "slips")
    shot("verify-card")
    hands.touch("Write it down")
    shot("verify-failed")
    hands.touch("Check again")
    card(worker, 1, "holds")
    hands.touch("Write it down")


def card(worker: Worker, off: int, front: str) -> None:
    """Fill a card in: every reading `off` degrees, the strip in front as told."""
    hands = worker.hands
    for place in range(5):
        hands.type(str(hands.station.desk.of(Checks).set_value + off - place))
        hands.touch("Next")
    worker.shot(f"verify-paper-{front}")
    hands.touch("It holds", "It holds", f"It {front}", "It holds")


def look_at_the_first(worker: Worker) -> None:
    """The first garment of the lot: measured, looked over, approved by the supervisor."""
    hands, shot = worker.hands, worker.shot
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


def hand_over(worker: Worker) -> None:
    """Tell what is open, and end the worker."""
    hands, shot = worker.hands, worker.shot
    hands.touch("hand over")
    if hands.station.desk.page is Page.CLEAR:
        hands.touch("The platen is clear")
    shot("hand-over")
    hands.touch("Next: what is open?", "the pad is worn")
    shot("open-questions")
    hands.touch("Next: who comes?")
    shot("who-comes")
    hands.touch("Nobody yet")
