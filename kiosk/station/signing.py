"""Sign-offs behind the PIN: who may group moves in which procedure, and until when."""

from __future__ import annotations

import time
from collections.abc import Callable

from kiosk.catalog.base import say
from kiosk.catalog.model import FAMILIES
from kiosk.run.state import SignOff
from kiosk.station.pages.page import Page
from kiosk.station.practice import Practice
from kiosk.station.shell import Shell

SUPERVISOR = "supervisor"
DAY_SECONDS = 86_400.0


class SignOffs:
    """What the supervisor looks at and signs: `person` and `family` are those looked at."""

    def __init__(
        self,
        shell: Shell,
        practice: Practice,
        go: Callable[[Page], None],
        go_on: Callable[[], None],
    ) -> None:
        self._shell = shell
        self._practice = practice
        self._go = go
        self._go_on = go_on
        self.person = ""
        self.family = ""

    def look_at(self, operator: str) -> None:
        """Look at what an operator is signed off for."""
        self.person = operator
        self._go(Page.SIGN_OFF_OF)

    def look_into(self, family: str) -> None:
        """Look at one family of that operator."""
        self.family = family
        self._go(Page.SIGN_OFF_ONE)

    def sign(self) -> None:
        """Let that operator confirm grouped moves in that family from now on."""
        until = self._sign(self.family)
        if until is not None:
            day = day_of(until)
            self._shell.say(say("sign_offs.signed", operator=self.person, day=day))
        self._go(Page.SIGN_OFF_OF)

    def sign_all(self) -> None:
        """Sign that operator off for every family, and go on."""
        for family in FAMILIES:
            self._sign(family)
        self._go_on()

    def take_back(self) -> None:
        """The operator confirms each phase of that family again."""
        if self._sign(self.family, days=-1) is not None:
            self._shell.say(say("sign_offs.taken", operator=self.person))
        self._go(Page.SIGN_OFF_OF)

    def until(self, operator: str, family: str) -> float | None:
        """Return until when a sign-off is good (wall time), None where none still is."""
        now = self._shell.now().wall
        good = (s for s in self._shell.state.sign_offs if s.until > now)
        return next((s.until for s in good if (s.operator, s.family) == (operator, family)), None)

    def _sign(self, family: str, days: int | None = None) -> float | None:
        """Sign off for the days that the shop's rule says; return until when, None if refused."""
        valid = self._practice.rule(family).valid_days if days is None else days
        until = self._shell.now().wall + valid * DAY_SECONDS
        met = self._practice.is_ready(self.person, family)
        command = SignOff(self.person, family, until, SUPERVISOR, met)
        return until if self._shell.do(command).refusal is None else None


def day_of(wall: float) -> str:
    """Return the day of a wall time, as a calendar has it."""
    return time.strftime("%Y-%m-%d", time.localtime(wall))
