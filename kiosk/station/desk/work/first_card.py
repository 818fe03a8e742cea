"""The card of a lot's first garment while it is filled in."""

from kiosk.catalog.base import MM_PER_INCH, decimal
from kiosk.run.state import commands_shift as commands
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.people.display import worn
from kiosk.station.desk.work.trial import Trial

LOOKS = ("lifted_edge", "marks", "stretched")
"""What is looked for, in this order: each is there or not."""


class FirstCard:
    """Offsets and looks as they are entered. `across` and `along` as worn, right and down positive.

    `distance` is the one whose side is still to be told.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.open = False
        self._clear()

    def _clear(self) -> None:
        self.across: float | None = None
        self.along: float | None = None
        self.distance: float | None = None
        self.looks: tuple[bool, ...] = ()

    def begin(self) -> None:
        """Take an empty card."""
        self._clear()
        self.open = True
        self._desk.entry = ""

    def close(self) -> None:
        """Put the card away."""
        self.open = False

    @property
    def faults(self) -> tuple[str, ...]:
        """The classes of defect that were found."""
        return tuple(what for what, found in zip(LOOKS, self.looks, strict=False) if found)

    @property
    def millimetres(self) -> bool:
        """Whether lengths are entered in mm, otherwise in inches."""
        desk = self._desk
        return worn(desk.library.station, desk.shell.state.display).millimetres

    def measure(self) -> None:
        """Take the distance that was typed; none has no side."""
        entry, self._desk.entry = self._desk.entry, ""
        typed = decimal(f"0{entry}")  # ".2" is typed too
        if typed is None:
            return
        inches = float(typed / MM_PER_INCH) if self.millimetres else float(typed)
        if inches:
            self.distance = inches
        else:
            self._place(0.0)

    def side(self, sign: int) -> None:
        """Take to which side the distance is: 1 right or down, -1 left or up."""
        self._place(sign * (self.distance or 0.0))
        self.distance = None

    def _place(self, inches: float) -> None:
        if self.across is None:
            self.across = inches
        else:
            self.along = inches

    def look(self, found: bool) -> None:
        """Take whether the fault that is looked for is there."""
        self.looks = (*self.looks, found)

    def back(self) -> None:
        """Take the last entry back; before the first one put the card away."""
        self._desk.entry = ""
        if self.looks:
            self.looks = self.looks[:-1]
        elif self.distance is not None:
            self.distance = None
        elif self.along is not None:
            self.along = None
        elif self.across is not None:
            self.across = None
        else:
            self.close()

    def approve(self, ticket: str, approver: str, supervisor: bool = False) -> None:
        """Record that somebody approves the garment."""
        self._judge(ticket, True, approver, supervisor)
        self._desk.of(Trial).note()
        self._desk.go_on()

    def turn_down(self, ticket: str, *more: str) -> None:
        """Record that the garment is not as it should be, for what was found or for `more`."""
        operator = self._desk.shell.state.operator
        self._judge(ticket, False, operator, False, more)

    def _judge(
        self,
        ticket: str,
        approved: bool,
        approver: str,
        supervisor: bool,
        more: tuple[str, ...] = (),
    ) -> None:
        faults = (*self.faults, *more)
        judged = commands.JudgeFirst(
            ticket, approved, approver, supervisor, self.across, self.along, faults
        )
        if self._desk.shell.do(judged).refusal is None:
            self.close()
