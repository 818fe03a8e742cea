"""What of a view decides its picture; the rest is brought up to date in place."""

from __future__ import annotations

from math import ceil

from kiosk.catalog.base import Message
from kiosk.run.show import View
from kiosk.station.screens.foot import DARK


def drawn_key(view: View) -> tuple[object, ...]:
    """Return everything that, when it changes, has the screen drawn anew.

    Left out: seconds (of the countdown, since the tone, in lines) and how far chips are.
    """
    time = view.countdown
    return (
        view.kind,
        (view.job, view.title, view.nth, view.count, view.setting, view.ribbon, view.finish),
        (view.ticket, view.line, view.number, view.set, view.size, view.panel),
        (view.move, _lines(view), view.sheet_word),
        (view.peel, view.peel_word, view.peel_line, view.phase, view.border_check),
        (view.stack, view.pieces, view.ask, view.warnings),
        (view.bar.label, view.bar.below, view.bar.owner, view.bar.meaning),
        (view.back, view.hold, view.opened),
        (tuple((chip.ticket, chip.following) for chip in view.chips), view.aside),
        (view.inspecting, view.inspect_ticket, view.inspect_number, view.stage_peel),
        (view.inspect_cools, view.inspect_lies, view.upcoming),
        view.open_since is None or len(view.open_lines),
        None
        if time is None
        else (time.total, time.counting_in > 0, len(str(ceil(abs(time.left)))) > 2),
    )


def _lines(view: View) -> tuple[object, ...]:
    """On a dark screen, and of a peel's time, lines tell seconds: they change in place."""
    if view.kind in DARK:
        return tuple(line.id for line in view.lines)
    return tuple(line if is_late(line) or not tells_time(line) else "time" for line in view.lines)


def tells_time(line: Message) -> bool:
    """Return whether a line of a light screen tells seconds that run down."""
    return line.id.startswith("time.")


def is_late(line: Message) -> bool:
    """Return whether a line says that the time of a peel is over."""
    return line.id in {"time.late", "time.late_about", "time.hot.late"}
