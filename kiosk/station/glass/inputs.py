"""Single presses of finger and pedal, and all inputs bound to an open station's window."""

from collections.abc import Callable
from enum import Enum
from typing import Any, Protocol

from kivy.base import ExceptionManager
from kivy.clock import Clock
from kivy.config import Config

from kiosk.catalog.base import Message, say
from kiosk.run.state import Role, commands
from kiosk.station.glass.devices import STUCK_SECONDS, OneFinger, Pedal, PlugWatch, Switch, keys_of


def safe_callback(act: Callable[[], object]) -> Callable[[float], None]:
    """Return an interval callback that survives errors of `act`; they go to ExceptionManager."""

    def each_frame(dt: float) -> None:
        try:
            act()
        except Exception as problem:
            if ExceptionManager.handle_exception(problem) == ExceptionManager.RAISE:
                raise

    return each_frame


LONG_SECONDS = 1.2
HELD_FPS = 240  # while something is down, because lifting it is what acts


class PressSource(Enum):
    """What is pressing."""

    FINGER = "finger"
    PEDAL = "pedal"


class PressTimer:
    """Calls `on_down` at once, then `on_long` when it becomes long, or `on_short` on release.

    `on_down` returns whether the press has done its work; then the other two are not called. While
    finger or pedal is down, the other is ignored. Every call gets who pressed and the clock when it
    went down.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        on_down: Callable[[PressSource, float], bool],
        on_short: Callable[[PressSource, float], None],
        on_long: Callable[[PressSource, float], None],
    ) -> None:
        self._clock = clock
        self._on_down = on_down
        self._on_short = on_short
        self._on_long = on_long
        self._source: PressSource | None = None
        self._since = 0.0
        self._spent = False
        self._timer: Any = None

    @property
    def held(self) -> bool:
        """Whether something is down."""
        return self._source is not None

    def down(self, source: PressSource) -> None:
        """Begin a press, unless one has begun."""
        if self._source is not None:
            return
        self._source, self._since = source, self._clock()
        self._spent = self._on_down(source, self._since)
        if not self._spent:
            self._timer = Clock.schedule_once(self._is_long, LONG_SECONDS)
            _look_often(True)

    def up(self, source: PressSource) -> None:
        """End the press of `source`, wherever the finger has drifted."""
        if self._source is not source:
            return
        self._is_long()
        self._source = None
        self._end()
        if not self._spent:
            self._on_short(source, self._since)

    def drop(self) -> None:
        """Forget the current press: its end will not be seen."""
        self._source = None
        self._end()

    def _end(self) -> None:
        self._stop()
        _look_often(False)

    def _is_long(self, *_: object) -> None:
        """Report a long press; a timer may fire early, so the clock decides."""
        if self._source is None or self._spent:
            return
        remaining = LONG_SECONDS - (self._clock() - self._since)
        if remaining > 0:
            self._stop()
            self._timer = Clock.schedule_once(self._is_long, remaining)
            return
        self._spent = True
        _look_often(False)
        self._on_long(self._source, self._since)

    def _stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None


def _look_often(often: bool) -> None:
    """Poll the window's events more often than there are frames, or as usual again."""
    if Clock._max_fps:  # 0: no pause between frames at all
        Clock._max_fps = HELD_FPS if often else Config.getint("graphics", "maxfps")


PLUGS_EVERY_SECONDS = 2.0


class PedalScreen(Protocol):
    """A work screen that a pedal acts on."""

    press: PressTimer

    def pedal_down(self) -> None:
        """The pedal went down."""

    def pedal_up(self) -> None:
        """The pedal came up."""

    def second_pedal(self) -> None:
        """The second pedal went down."""


class PedalPage(Protocol):
    """A plain page that a pedal or a keyboard acts on."""

    def step(self) -> None:
        """Mark the next choice."""

    def choose(self) -> bool:
        """Take the marked choice; return whether there was one."""

    def typed(self, text: str) -> bool:
        """Take a key; return whether the page has it."""


class Glass(Protocol):
    """What the inputs act on: a plain page if one is shown, else the work screen."""

    @property
    def sheet(self) -> PedalPage | None:
        """The plain page that is shown, if any."""

    @property
    def live(self) -> PedalScreen:
        """The work screen that a pedal acts on."""

    def refresh(self) -> None:
        """Show what has changed."""

    def act(self, action: object) -> None:
        """Do what a switch reports."""

    def choices(self) -> None:
        """Go from a page that replaces the work screen to the choices."""

    def key_pressed(self, scancode: int) -> bool:
        """Take a key if one is being learned; return whether it was taken."""

    def notify(self, message: Message, lasting: bool = False) -> None:
        """Show a message about the inputs themselves."""


class Inputs:
    """All inputs of an open station, bound when made; `close` unbinds them."""

    def __init__(self, glass: Glass, clock: Callable[[], float]) -> None:
        from kivy.core.window import Window  # opens the window, which a PressTimer does not need

        self._glass, self._window = glass, Window
        self.press = PressTimer(clock, lambda by, since: False, self._short, self._long)
        self._pedal = Pedal(clock, self._down, self._up, self._lost, on_stuck=self._stuck)
        self._second = Pedal(clock, self._second_down, _nothing, _nothing)
        self._switch = Switch(
            lambda: glass.act(commands.PressClosed()),
            lambda: glass.act(commands.PressOpened()),
            clock=clock,
        )
        self._devices = (OneFinger(clock), self._pedal, self._second, self._switch)
        self.plugged = PlugWatch()
        self._plugs = Clock.schedule_interval(safe_callback(self._check_plugs), PLUGS_EVERY_SECONDS)
        # What is bound last gets a key first: pedal and switch before typing, which keeps it.
        self._window.bind(on_key_down=self._type_key)
        for each in self._devices:
            each.bind(self._window)
        self._window.bind(
            on_key_down=self._learn_key
        )  # first of all: a key being learned does nothing else

    def close(self) -> None:
        """Stop listening."""
        for each in self._devices:
            each.unbind(self._window)
        self._window.unbind(on_key_down=self._type_key)
        self._window.unbind(on_key_down=self._learn_key)
        self._plugs.cancel()

    def listen_to(self, keys: tuple[tuple[int, Role], ...]) -> None:
        """Listen to the keys that the station has learned."""
        learned = dict(keys)
        self._pedal.listen_to(keys_of(Role.FORWARD, learned))
        self._second.listen_to(keys_of(Role.SECOND, learned))
        self._switch.listen_to(keys_of(Role.CLOSED, learned), keys_of(Role.OPENED, learned))

    def _learn_key(self, window: object, key: int, scancode: int, *_: object) -> bool:
        return self._glass.key_pressed(scancode)

    def _type_key(self, window: object, key: int, scancode: int, text: str, *_: object) -> bool:
        """Type a key into a page; every other key does nothing, so none leaves the kiosk."""
        if self._glass.sheet is not None and text and self._glass.sheet.typed(text):
            self._glass.refresh()
        return True

    def _down(self) -> None:
        if self._glass.sheet is None:
            self._glass.live.pedal_down()
        else:
            self.press.down(PressSource.PEDAL)

    def _up(self) -> None:
        self._glass.live.pedal_up()
        self.press.up(PressSource.PEDAL)

    def _lost(self) -> None:
        """Drop the pedal's press: the window lost the keyboard, or the pedal is stuck."""
        self._glass.live.press.drop()
        self.press.drop()

    def _short(self, source: PressSource, since: float) -> None:
        if self._glass.sheet is not None:
            self._glass.sheet.step()

    def _long(self, source: PressSource, since: float) -> None:
        if self._glass.sheet is not None:
            self._choose(self._glass.sheet)
            self._glass.refresh()

    def _choose(self, sheet: PedalPage) -> None:
        """Take the marked choice; with none marked on a page of work, open the choices."""
        if not sheet.choose():
            self._glass.choices()

    def _second_down(self) -> None:
        """Do at once what a long press of the first pedal does."""
        if self._glass.sheet is None:
            self._glass.live.second_pedal()
        else:
            self._choose(self._glass.sheet)
        self._glass.refresh()

    def _stuck(self) -> None:
        self._glass.notify(say("station.pedal_stuck", seconds=STUCK_SECONDS))

    def _check_plugs(self) -> None:
        unplugged, new = self.plugged.changes()
        if unplugged:
            self._pedal.forget()
            device = ", ".join(sorted(unplugged))
            self._glass.notify(say("station.unplugged", device=device), lasting=True)
        elif new:
            self._glass.notify(say("station.plugged", device=", ".join(sorted(new))))


def _nothing() -> None:
    """Ignore the release of a pedal that acts when it goes down."""
