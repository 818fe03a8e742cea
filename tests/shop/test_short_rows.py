"""Nameless garments of a shared order are not called for the pass of names, at any press."""

from __future__ import annotations

from pathlib import Path

from shop_folders import write
from shop_press import SIZES, Open, Press, until

from kiosk.log.verify import verify
from kiosk.run.state.model import TicketStage

SHOP = "shortrows"
RECIPE = {
    "title": "Number on the back, name on the front",
    "panels": [
        {
            "panel": panel,
            "elements": [{"element": each, "layers": [{"material": "film", "colour": "red"}]}],
        }
        for panel, each in (("back", "number"), ("front", "name"))
    ],
}
NAMELESS = {"2", "7", "12"}


def short(place: Path, *presses: Press) -> None:
    """Write the shared order, with lines without a name, and its recipe at each press."""
    rows = (
        f"{n},{SIZES[(n - 1) // 4]},{'' if str(n) in NAMELESS else 'KOVA'},{n + 20}"
        for n in range(1, 13)
    )
    text = "\n".join(["line,size,name,number", *rows, ""])
    (place / "jobs" / "ferry" / "roster.csv").write_text(text, "utf-8")
    for press in presses:
        write(press.log.parent / "recipes" / "one.yaml", RECIPE)


def begin(press: Press) -> None:
    """Begin it, shared; a supervisor accepts the missing names."""
    press.look_at_job()
    press.touch("Start with the supervisor's PIN", "With other presses")
    press.supervisor()


def fronts(press: Press) -> set[str]:
    """Return the lines opened for the pass of names."""
    return {t.garment.line for t in press.job.tickets.values() if t.passage == 1}


def pressed_on(*presses: Press) -> bool:
    """Let each press do one more garment, if there is one; return whether all are done."""
    for press in presses:
        if press.job.slot:
            press.press(1)
        press.tick()
    return all(press.job.done for press in presses)


def test_no_press_opens_a_ticket_for_a_missing_name(at: Open, tmp_path: Path) -> None:
    north, south = at("north"), at("south")
    short(tmp_path, north, south)
    begin(north)
    begin(south)
    until(lambda: pressed_on(north, south))
    had = [{t.garment.line for t in press.job.tickets.values()} for press in (north, south)]
    assert had[0] | had[1] == {str(n) for n in range(1, 13)}
    assert len(north.job.batches) > 1 or len(south.job.batches) > 1  # one came while at work
    for press, lines in zip((north, south), had, strict=True):
        assert fronts(press) == lines - NAMELESS
        assert {ticket.stage for ticket in press.job.tickets.values()} == {TicketStage.GOOD}
        assert verify(press.log).ok
