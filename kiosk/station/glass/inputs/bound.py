"""Finger, pedals, switch and keyboard, bound to the window for as long as a station is open."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from kivy.clock import Clock
from kivy.core.window import Window

from kiosk.catalog.base import Message, say
from kiosk.run.state import Role, commands
from kiosk.station.glass.frames import unending
from kiosk.station.glass.inputs.keys import STUCK_SECONDS, Pedal, Switch, keys_of
from kiosk.station.glass.inputs.press import By, OneFinger, Plugged, Press
from kiosk.station.glass.screens.work import WorkScreen

if TYPE_CHECKING:
    from kiosk.station.glass.screens.sheet_page import SheetPage

PLUGS_EVERY_SECONDS = 2.0


class Glass(Protocol):
    """What the inputs work: the plain page that is up (None for none), else the work screen."""

    sheet: SheetPage | None

    @property
    def live(self) -> WorkScreen:
        """The work screen that a pedal works."""

    def refresh(self) -> None:
        """Show what has changed."""

    def act(self, action: object) -> None:
        """Do what a switch says."""

    def choices(self) -> None:
        """Turn a page that stands in place of the work screen to the choices."""

    def key_pressed(self, scancode: int) -> bool:
        """Take a key that is being learned; return whether one is."""

    def told(self, message: Message, lasting: bool = False) -> None:
        """Say something about the inputs themselves."""


class Inputs:
    """Made and bound at once; `close` unbinds."""

    def __init__(self, glass: Glass, clock: Callable[[], float]) -> None:
        self._glass = glass
        self.press = Press(clock, lambda by, since: False, self._short, self._long)
        self._pedal = Pedal(clock, self._down, self._up, self._lost, on_stuck=self._stuck)
        self._second = Pedal(clock, self._second_down, _nothing, _nothing)
        self._switch = Switch(
            lambda: glass.act(commands.PressClosed()),
            lambda: glass.act(commands.PressOpened()),
            clock=clock,
        )
        self._bound = (OneFinger(clock), self._pedal, self._second, self._switch)
        self.plugged = Plugged()
        self._plugs = Clock.schedule_interval(unending(self._check_plugs), PLUGS_EVERY_SECONDS)
        # What is bound last hears a key first: pedal and switch before typing, which ends it.
        Window.bind(on_key_down=self._typed)
        for each in self._bound:
            each.bind(Window)
        Window.bind(on_key_down=self._learned)  # before any other: the key shall do nothing else

    def close(self) -> None:
        """Listen no more."""
        for each in self._bound:
            each.unbind(Window)
        Window.unbind(on_key_down=self._typed)
        Window.unbind(on_key_down=self._learned)
        self._plugs.cancel()

    def heed(self, keys: tuple[tuple[int, Role], ...]) -> None:
        """Listen to the keys that the station has learned."""
        learned = dict(keys)
        self._pedal.heed(keys_of(Role.FORWARD, learned))
        self._second.heed(keys_of(Role.SECOND, learned))
        self._switch.heed(keys_of(Role.CLOSED, learned), keys_of(Role.OPENED, learned))

    def _learned(self, window: object, key: int, scancode: int, *_: object) -> bool:
        return self._glass.key_pressed(scancode)

    def _typed(self, window: object, key: int, scancode: int, text: str, *_: object) -> bool:
        """Keys beyond pedal and switch: typed into a page; nothing else, and no way out."""
        if self._glass.sheet is not None and text and self._glass.sheet.typed(text):
            self._glass.refresh()
        return True

    def _down(self) -> None:
        if self._glass.sheet is None:
            self._glass.live.pedal_down()
        else:
            self.press.down(By.PEDAL)

    def _up(self) -> None:
        self._glass.live.pedal_up()
        self.press.up(By.PEDAL)

    def _lost(self) -> None:
        """The window lost the keyboard: the way up will not be seen."""
        self._glass.live.press.drop()
        self.press.drop()

    def _short(self, by: By, since: float) -> None:
        if self._glass.sheet is not None:
            self._glass.sheet.step()

    def _long(self, by: By, since: float) -> None:
        if self._glass.sheet is not None:
            self._choose(self._glass.sheet)
            self._glass.refresh()

    def _choose(self, sheet: SheetPage) -> None:
        """Take what is marked; with nothing marked a page of the press turns to the choices."""
        if not sheet.choose():
            self._glass.choices()

    def _second_down(self) -> None:
        """A second pedal does at once what a long press of the first does."""
        if self._glass.sheet is None:
            self._glass.live.second_pedal()
        else:
            self._choose(self._glass.sheet)
        self._glass.refresh()

    def _stuck(self) -> None:
        self._glass.told(say("station.pedal_stuck", seconds=STUCK_SECONDS))

    def _check_plugs(self) -> None:
        gone, come = self.plugged.changes()
        if gone:
            self._pedal.forget()
            device = ", ".join(sorted(gone))
            self._glass.told(say("station.unplugged", device=device), lasting=True)
        elif come:
            self._glass.told(say("station.plugged", device=", ".join(sorted(come))))


def _nothing() -> None:
    """The way up of a pedal that acts on its way down."""
