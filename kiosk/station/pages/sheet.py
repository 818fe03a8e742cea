"""A plain page as data: a title, lines, choices, and what the bar at its foot does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kiosk.station.cautions import Caution
from kiosk.station.pages.heat_picture import HeatPicture
from kiosk.station.pages.report_picture import ChartPicture, TablePicture
from kiosk.train.practice import Sides

Picture = HeatPicture | TablePicture | ChartPicture


@dataclass(frozen=True, slots=True)
class Card:
    """What a job's button draws: its shirt with a number, and how far the job is.

    `colour` is the number's film as the job writes it; `share` of it is done, 0..1, with
    `done` and `left` in words. All are empty where the job cannot be read.
    """

    number: str = ""
    colour: str = ""
    done: str = ""
    left: str = ""
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Button:
    """Something to touch, or to step to and choose with the pedal; a `card` is a job's."""

    label: str
    act: Callable[[], None]
    line: str = ""
    card: Card | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page. `entry` is what has been typed so far, None where nothing is typed.

    `columns` fixes how the choices are laid out, 0 leaves it to the page; `more` turns to
    the next choices where not all have room. A `picture` fills what the lines leave. Two sheets
    that look alike are drawn once.
    `practice` puts the practice frame around it; `shown` is what is to be looked at.
    `headline` is what matters first, larger than the lines and above them, `second` what comes
    next, in bold.
    `cautions` stand in a frame above everything else.
    """

    title: str
    lines: tuple[str, ...] = ()
    entry: str | None = None
    choices: tuple[Button, ...] = ()
    columns: int = 0
    main: Button | None = None
    left: Button | None = None
    right: Button | None = None
    picture: Picture | None = None
    practice: bool = False
    shown: str | Sides | None = None
    cautions: tuple[Caution, ...] = ()
    headline: str = ""
    second: str = ""

    def look(self) -> tuple[object, ...]:
        """What is to be seen of it: the same look needs no new drawing."""
        named = [
            None if b is None else (b.label, b.line) for b in (self.main, self.left, self.right)
        ]
        choices = tuple((b.label, b.line, b.card) for b in self.choices)
        looks = (self.title, self.lines, self.entry, choices, self.columns, self.picture)
        return (
            *looks,
            self.headline,
            self.second,
            self.cautions,
            self.practice,
            self.shown,
            *named,
        )
