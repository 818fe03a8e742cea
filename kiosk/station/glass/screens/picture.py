"""Draws a view, again only if it differs, or ahead of time while a press lasts."""

import time
from abc import abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from kivy.core.window import Window
from kivy.uix.widget import Widget

from kiosk.catalog.base import Message, dataclass
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import Plan
from kiosk.plan.place import NOBODY, Team
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View
from kiosk.run.state import Forward
from kiosk.station.desk.sheet import Action, HoldOption
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.screens.foot import DARK, Judging, picture_key
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.screens.paint_work import PaintRequest, PaintResult, paint
from kiosk.station.glass.theme import DARK as NIGHT_SHADE
from kiosk.station.glass.theme import INK, LATE, LIGHT, NIGHT, PAPER, SNOW, Shade
from kiosk.station.glass.widgets.buttons import NumberPad
from kiosk.station.glass.widgets.heading import Notice
from kiosk.station.glass.widgets.paint import Drawn, Shown, WidgetCache, ground
from kiosk.station.glass.widgets.text import PracticeFrame, letters_ready, within_frame
from kiosk.words import Words

OFFERS = frozenset({ScreenKind.HELD, ScreenKind.DONE})  # they offer options besides the bar


def nothing_more(view: View) -> tuple[HoldOption, ...]:
    """Return no options."""
    return ()


def nobody() -> Team:
    """Return no names."""
    return NOBODY


def nothing_ahead(forward: Forward | None) -> View | None:
    """Return that the next view is unknown."""
    return None


@dataclass(frozen=True, slots=True)
class Picture:
    """A view drawn on its own `sheet`, and everything it was `made_from`."""

    sheet: Widget
    painted: PaintResult
    live: list[Callable[[View], None]]
    share: float
    made_from: tuple[object, ...]

    def clear(self) -> None:
        """Release its parts for other pictures."""
        self.sheet.clear_widgets()
        self.live.clear()


class WorkPicture(Shown):
    """The work screen's drawing: `show` it a view each frame, and only what changed is drawn.

    `names` returns the wearer's name of a roster line; `plan` has to be set before a garment is
    shown; `team` returns all the names of the order, which share one height; `ahead` returns the
    view after a press of forward, or (None) after the right answer: its picture is drawn while the
    press is held or the question is read, so that the tap only has to show it. `on_action` is
    called with each command, `ChipTouched` or `DullClick`, and with the actions of `options(view)`,
    offered on hold and at the end. `share` is the smallest share of its least size that a text
    kept.
    """

    frame = "practice"  # the word in the frame, if there is a frame
    cut = ("", "")  # number and size laid on a piece of cloth
    plan: Plan | None = None
    view: View | None = None
    share = 1.0

    def __init__(
        self,
        words: Words,
        settings: StationSettings,
        names: Callable[[str], str],
        on_action: Callable[[Any], None] = lambda action: None,
        clock: Callable[[], float] = time.monotonic,
        options: Callable[[View], Sequence[HoldOption]] = nothing_more,
        practice: bool = False,
        team: Callable[[], Team] = nobody,
        ahead: Callable[[Forward | None], View | None] = nothing_ahead,
    ) -> None:
        super().__init__(pos=(0, 0), size=Window.size, size_hint=(None, None))
        self.words = words
        self.settings = settings
        self.names = names
        self.on_action = on_action
        self.clock = clock
        self.options = options
        self.practice = practice
        self.team = team
        self.ahead = ahead
        self._painted: PaintResult | None = None
        self._live: list[Callable[[View], None]] = []
        self._key: object = None
        self._question_key: object = None  # identifies the question of the picture
        self._cache = WidgetCache()
        self._picture: Picture | None = None
        self._next_picture: Picture | None = None  # what the held press will show
        self._removed: Picture | None = None  # during a tap, which leaves no time to clear it
        self._since = clock()
        self._judging: Judging | None = None
        self._typed: list[str] = []  # figures on a pad, kept when it is drawn again
        self._stepping = False  # the pedal is stepping through a pad's keys
        self._reading: object = None  # the question whose press display is being entered
        self._closer = ""  # "lay" or "rack" while it is shown over the page
        self._flags: tuple[Message, ...] = ()
        self._notices: tuple[Message, ...] = ()
        self._notice: Widget | None = None

    def show(
        self, view: View, notices: tuple[Message, ...] = (), flags: tuple[Message, ...] = ()
    ) -> None:
        """Show a view, with `notices` over the header and `flags` before the job's title."""
        self._forget_judging(view)
        self._stepping = self._stepping and view.ask is not None and view.ask.pad
        self._flags = flags
        self._closer = self._closer if _lay_key(view) == _lay_key(self.view) else ""
        if self._reading != view.ask or view.kind is not ScreenKind.SETTING:
            self._reading = None
        page_state = self._page_state()
        key = self._key_of(view, flags)
        self.view = view
        ground(_shade(view).ground)  # another page may have changed the window's ground
        if key != self._key:
            still_view = replace(view, finish=None, lines=(), peel_line=None)
            still_key = None if self._judging else picture_key(still_view)
            question_key = (still_key, page_state, *key[3:])
            self._repaint(view, flags, question_key, key)
            self._key = key
            self._notices = ()
        else:
            for live in self._live:
                live(view)
        if notices != self._notices:
            self._show_notices(notices)

    def _page_state(self) -> tuple[object, ...]:
        return self._judging, self._stepping, self._reading is not None, self._closer

    def _key_of(self, view: View, flags: tuple[Message, ...]) -> tuple[object, ...]:
        """Return everything that makes a picture be drawn again."""
        size = tuple(Window.size)
        return picture_key(view), self._page_state(), flags, size, self.practice, self._wording()

    def _repaint(
        self, view: View, flags: tuple[Message, ...], question_key: object, key: tuple[object, ...]
    ) -> None:
        """Paint again; keep pedal, figures and reading time if only words beside them changed.

        The pages of an inspection ask the same whatever changes behind them.
        """
        at = -1 if self._painted is None else self._painted.choices.at
        same = question_key == self._question_key
        pad = self._pad() if same else None
        self._put_up(view, flags, key)
        if not same:
            self._since = self.clock()
        elif self._painted is not None:
            self._painted.choices.mark(at)
            new_pad = self._pad()
            if pad is not None and new_pad is not None:
                new_pad.type_again(pad.value)
        self._question_key = question_key

    def _pad(self) -> NumberPad | None:
        """Return the number pad that is shown, None if there is none."""
        return next((each for each in self.walk() if isinstance(each, NumberPad)), None)

    def _wording(self) -> tuple[object, ...]:
        """Return the words and settings that the picture is drawn with."""
        return self.words, self.settings

    def _forget_judging(self, view: View) -> None:
        at_hand = "" if view.kind in DARK else view.ticket  # scrap may come before inspection
        if self._judging is not None and self._judging.ticket not in (view.inspect_ticket, at_hand):
            self._judging = None

    def _put_up(self, view: View, flags: tuple[Message, ...], key: tuple[object, ...]) -> None:
        """Replace the picture by this view's: the one drawn ahead if it fits, else a new one."""
        picture, self._next_picture = self._next_picture, None
        self.clear_widgets()
        self._notice = None
        self.size = Window.size
        if picture is None or picture.made_from != self._made_from(view, key):
            for old in (picture, self._picture):
                if old is not None:
                    old.clear()
            picture = self._draw(view, flags, key)
        else:
            for live in picture.live:
                live(view)
            self._removed = self._picture
        self._picture, self._painted = picture, picture.painted
        self._live, self.share = picture.live, picture.share
        self.add_widget(picture.sheet)

    def _made_from(self, view: View, key: tuple[object, ...]) -> tuple[object, ...]:
        """Return everything that a picture shows."""
        name = self.names(view.line) if view.line else ""
        return key, name, id(self.plan), self.cut

    def _draw(self, view: View, flags: tuple[Message, ...], key: tuple[object, ...]) -> Picture:
        if self._removed is not None:
            self._removed.clear()
            self._removed = None
        whole = Box(0.0, 0.0, *map(float, Window.size))
        scale = Scale(tuple(Window.size), self.settings.screen_inches)
        page = self._page(view, scale)
        inner = within_frame(whole, scale) if self.practice else whole
        options = self.options(view) if view.kind in OFFERS else ()
        flag_words = tuple(self.words.say(flag) for flag in flags)
        request = PaintRequest(
            self._judging,
            options,
            self.on_action,
            self._turn,
            flag_words,
            self._typed,
            self._stepping,
            self._closer,
            self._reading is not None,
        )
        painted = paint(page, view, inner, request)
        if self.practice:
            hot = self.frame != "practice"
            page.add(PracticeFrame(whole, scale, self.words(f"work.{self.frame}"), hot))
        return Picture(page.root, painted, page.live, page.share, self._made_from(view, key))

    def _page(self, view: View, scale: Scale) -> WorkPage:
        name = self.names(view.line) if view.line else ""
        shade, sheet = _shade(view), Drawn(Box(0.0, 0.0, *map(float, Window.size)))
        page = WorkPage(
            sheet, self.words, self.settings, scale, shade, self.plan, name, self._act, self._cache
        )
        page.team, page.cut = self.team(), self.cut
        return page

    def _show_notices(self, notices: tuple[Message, ...]) -> None:
        if self._notice is not None:
            self.remove_widget(self._notice)
            self._notice = None
        self._notices = notices
        if notices and self._painted is not None and self.view is not None:
            dark = self.view.kind in DARK
            light_colours = (PAPER, INK) if self._painted.opening else (INK, PAPER)
            ground, ink = (SNOW, NIGHT) if dark else light_colours
            scale = Scale(tuple(Window.size), self.settings.screen_inches)
            lines = [self.words.say(notice) for notice in notices]
            self._notice = Notice(self._painted.notices, scale, lines, ground, ink)
            self.add_widget(self._notice)

    def draw_ahead(self, view: View) -> None:
        """Draw what will be shown soon, so that it only has to be put up."""
        key = self._key_of(view, self._flags)
        if key != self._key and self._next_picture is None:
            self._next_picture = self._draw(view, self._flags, key)
            letters_ready(self._next_picture.sheet)

    @abstractmethod
    def _act(self, action: Action) -> None:
        """Do what a button asks."""

    @abstractmethod
    def _turn(self, judging: Judging | None) -> None:
        """Turn to another page of an inspection, or with None leave it."""

    @property
    def painted(self) -> PaintResult | None:
        """What was painted last, None before the first painting."""
        return self._painted


def _shade(view: View) -> Shade:
    if view.kind in (ScreenKind.OVER, ScreenKind.UNASKED):
        return LATE
    return NIGHT_SHADE if view.kind is ScreenKind.HEAT else LIGHT


def _lay_key(view: View | None) -> object:
    """Return what is laid and racked: a closer look ends when it changes."""
    if view is None:
        return None
    racked = tuple(chip.ticket for chip in view.chips)
    return view.kind, view.ticket, view.phase, view.pieces, view.inspecting, racked
