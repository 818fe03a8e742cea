"""Single presses of finger and pedal, and all inputs bound to the window of an open station."""

from collections.abc import Callable
from enum import Enum
from typing import Any, Protocol

from kivy.base import ExceptionManager
from kivy.clock import Clock
from kivy.config import Config

from kiosk.catalog.base import Message, say
from kiosk.run.state import Role, commands
from kiosk.station.glass.devices import STUCK_SECONDS, OneFinger, Pedal, Plugged, Switch, keys_of


def unending(act: Callable[[], object]) -> Callable[[float], None]:
    """Return `act` as an interval that goes on though it raised; errors go to ExceptionManager."""

    def each_frame(dt: float) -> None:
        try:
            act()
        except Exception as problem:
            if ExceptionManager.handle_exception(problem) == ExceptionManager.RAISE:
                raise

    return each_frame


LONG_SECONDS = 1.2
HELD_FPS = 240  # while something is down: its way up is what acts


class By(Enum):
    """What pressed."""

    FINGER = "finger"
    PEDAL = "pedal"


class Press:
    """Calls `on_down` at once, then `on_long` as soon as it is long, or `on_short` on the way up.

    `on_down` returns whether the press has done its work; then the other two stay silent.
    While one of finger and pedal is down the other is not heard. Every call gets who pressed
    and the clock when it went down.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        on_down: Callable[[By, float], bool],
        on_short: Callable[[By, float], None],
        on_long: Callable[[By, float], None],
    ) -> None:
        self._clock = clock
        self._on_down = on_down
        self._on_short = on_short
        self._on_long = on_long
        self._by: By | None = None
        self._since = 0.0
        self._spent = False
        self._timer: Any = None

    @property
    def held(self) -> bool:
        """Whether something is down."""
        return self._by is not None

    def down(self, by: By) -> None:
        """Begin a press, unless one is under way."""
        if self._by is not None:
            return
        self._by, self._since = by, self._clock()
        self._spent = self._on_down(by, self._since)
        if not self._spent:
            self._timer = Clock.schedule_once(self._is_long, LONG_SECONDS)
            _look_often(True)

    def up(self, by: By) -> None:
        """End the press of `by`; wherever the finger has drifted to."""
        if self._by is not by:
            return
        self._is_long()
        self._by = None
        self._end()
        if not self._spent:
            self._on_short(by, self._since)

    def drop(self) -> None:
        """Forget the press under way: its end will not be seen."""
        self._by = None
        self._end()

    def _end(self) -> None:
        self._stop()
        _look_often(False)

    def _is_long(self, *_: object) -> None:
        """A timer may ring early: the clock decides."""
        if self._by is None or self._spent:
            return
        left = LONG_SECONDS - (self._clock() - self._since)
        if left > 0:
            self._stop()
            self._timer = Clock.schedule_once(self._is_long, left)
            return
        self._spent = True
        _look_often(False)
        self._on_long(self._by, self._since)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None


def _look_often(often: bool) -> None:
    """Have the window's events looked for more often than there are frames, or as ever."""
    if Clock._max_fps:  # 0: there is no pause between frames at all
        Clock._max_fps = HELD_FPS if often else Config.getint("graphics", "maxfps")


PLUGS_EVERY_SECONDS = 2.0


class Live(Protocol):
    """A work screen under a pedal."""

    press: Press

    def pedal_down(self) -> None:
        """The pedal goes down."""

    def pedal_up(self) -> None:
        """It comes up."""

    def second_pedal(self) -> None:
        """The second one goes down."""


class Steps(Protocol):
    """A plain page under a pedal or a keyboard."""

    def step(self) -> None:
        """Mark the next thing that can be chosen."""

    def choose(self) -> bool:
        """Take what is marked; return whether anything is."""

    def typed(self, text: str) -> bool:
        """Take a key; return whether the page has it."""


class Glass(Protocol):
    """What the inputs work: a plain page where one is up, else the work screen."""

    @property
    def sheet(self) -> Steps | None:
        """The plain page that is up."""

    @property
    def live(self) -> Live:
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
        from kivy.core.window import Window  # opens it: presses alone are heard without one

        self._glass, self._window = glass, Window
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
        self._window.bind(on_key_down=self._typed)
        for each in self._bound:
            each.bind(self._window)
        self._window.bind(
            on_key_down=self._learned
        )  # before any other: the key shall do nothing else

    def close(self) -> None:
        """Listen no more."""
        for each in self._bound:
            each.unbind(self._window)
        self._window.unbind(on_key_down=self._typed)
        self._window.unbind(on_key_down=self._learned)
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

    def _choose(self, sheet: Steps) -> None:
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
