"""What one kind of screen says, beside the garment and the frame that all screens have."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.message import Message
from kiosk.catalog.model import Peel
from kiosk.run.views import Choice, Countdown


@dataclass(frozen=True, slots=True)
class Page:
    """A move and its lines, with what belongs to them.

    `hides_garment` where a question asks for what is on it; `hides_drawing` where the stack
    and the pieces would only stand in the way.
    """

    move: Message
    lines: tuple[Message, ...] = ()
    peel: Peel | None = None
    peel_line: Message | None = None
    countdown: Countdown | None = None
    ask: Choice | None = None
    warnings: tuple[Message, ...] = ()
    hides_garment: bool = False
    hides_drawing: bool = False
