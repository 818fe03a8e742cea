"""The pictures of one shift, noted once and drawn again on every screen in every language."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from kivy.core.window import Window
from kivy.uix.widget import Widget
from station_driver import ROOT
from station_harness import Bench
from station_scenes import SCENES, names
from station_screen import LongWords

from kiosk.catalog.base.notes import Message
from kiosk.catalog.model.house import StationSettings
from kiosk.plan.model import Plan
from kiosk.plan.place.placement import NOBODY, Team
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.station.demo.hands import DemoHands
from kiosk.station.demo.play import WindowSize, lay_out
from kiosk.station.demo.shift import DemoShift
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.learn.practice_pages import bench as bench_page
from kiosk.station.desk.learn.practice_pages import question_page
from kiosk.station.desk.pages import SHEETS, page_at_work
from kiosk.station.desk.sheet import HoldOption, PageKind, Sheet
from kiosk.station.glass.apart import _cloth_view, _with_card
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.foot import Judging
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.words import Words

SIZES = (
    WindowSize(1024, 600, 7.0),
    WindowSize(600, 1024, 7.0),
    WindowSize(1280, 800, 10.1),
    WindowSize(800, 1280, 10.1),
    WindowSize(1920, 1200, 13.3),
    WindowSize(1200, 1920, 13.3),
)
TONGUES: Mapping[str, Callable[[], Words]] = {
    "en": lambda: Words("en"),
    "es": lambda: Words("es"),
    "long": lambda: LongWords("en"),  # a pseudo-language: each word a third longer and more
}


@dataclass(frozen=True)
class Stop:
    """One picture of the shift: a work screen's view, or a sheet in each language."""

    name: str
    view: View | None = None
    plan: Plan | None = None
    wearer: str = ""
    team: Team = NOBODY
    options: tuple[HoldOption, ...] = ()
    judging: Judging | None = None
    notices: tuple[Message, ...] = ()
    flags: tuple[Message, ...] = ()
    practice: bool = False
    frame: str = "practice"  # the word in its frame, if it has one
    cut: tuple[str, str] = ("", "")  # laid on a piece of cloth
    sheets: Mapping[str, Sheet] = field(default_factory=dict)


@dataclass
class Tour:
    """The stops of a shift, with the pages and kinds of view that it reached."""

    stops: list[Stop] = field(default_factory=list)
    pages: set[PageKind] = field(default_factory=set)
    kinds: set[ScreenKind] = field(default_factory=set)

    def note(self, name: str, hands: DemoHands) -> None:
        """Note what the station shows now."""
        station = hands.station
        now = station.parts.now()
        self.pages.add(station.desk.page)
        self.kinds.add(hands.view.kind)
        notices = station.shell.notices(now)
        if station.sheet is not None:
            build = _builder(hands)
            words = {tongue: build(station.desk, make()) for tongue, make in TONGUES.items()}
            self.stops.append(Stop(name, sheets=words, notices=notices))
            return
        screen = station.live
        view = screen.view
        assert view is not None
        self.stops.append(
            Stop(
                name,
                view,
                screen.plan,
                screen.names(view.line) if view.line else "",
                screen.team(),
                tuple(screen.options(view)),
                screen._judging,
                notices,
                screen._flags,
                screen.practice,
                screen.frame,
                screen.cut,
            )
        )


def _builder(hands: DemoHands) -> Callable[[Desk, Words], Sheet]:
    """Return a function that makes the current sheet in any language."""
    desk = hands.station.desk
    session = desk.of(Practice).session
    if desk.page is PageKind.PRACTISE and session is not None and session.page is not None:
        question = session.page
        return lambda desk, words: question_page(desk, words, question)
    bench_now = session.bench() if desk.page is PageKind.PRACTISE and session is not None else None
    if bench_now is not None:
        return lambda desk, words: bench_page(desk, words, bench_now)
    if desk.page is not PageKind.WORK:
        return SHEETS[desk.page]
    view = hands.view
    return lambda desk, words: page_at_work(desk, words, view)


class WholeShift(DemoShift):
    """The demo's shift, with what only a machine in trouble shows."""

    def leave_unwritten(self) -> None:
        """First ask to leave while no other place can take what is not in the record either."""
        before, tempfile.tempdir = tempfile.tempdir, str(self.hands.log.parent / "gone")
        try:
            self.unwritten("leave-no-place")
        finally:
            tempfile.tempdir = before
        super().leave_unwritten()


def shift(bench: Bench, place: Path) -> Tour:
    """Play the demo's shift once in the folder `place`; return what it showed."""
    lay_out(place, ROOT / "recipes", ROOT / "shared" / "jobs")
    bench.resize(1280, 800)
    hands, tour = DemoHands(bench, place), Tour()
    try:
        WholeShift(hands, lambda name: tour.note(name, hands)).play()
    finally:
        hands.close()
        bench.clear()
    return tour


def scenes() -> Iterator[Stop]:
    """Yield the pictures that a shift does not reach: the work screen's scenes, and on cloth."""
    for name, scene in SCENES.items():
        view, plan = scene()
        yield Stop(f"scene {name}", view, plan, names(view.line) if view.line else "")
        of_press = view.kind in (ScreenKind.HANDS, ScreenKind.HEAT) and not view.chips
        if of_press and view.ticket and not view.pieces:  # the tour lays pieces on cloth
            cloth = _with_card(_cloth_view(replace(view, upcoming=None)))  # there is one piece
            cut = (view.digits, view.size)
            yield Stop(f"cloth {name}", cloth, plan, practice=True, frame="trial", cut=cut)


class Glass(Widget):  # type: ignore[misc]  # Kivy widgets are untyped
    """A window of a size with one stop drawn on it, in place of a station for an audit."""

    def __init__(self, stop: Stop, size: WindowSize, tongue: str) -> None:
        super().__init__(size=(size.width, size.height))
        assert tuple(Window.size) == (size.width, size.height)
        self.settings = StationSettings(screen_inches=size.inches, language=tongue)
        self.sheet: SheetPage | None = None
        self.words = TONGUES[tongue]()
        self.live = self._work_screen(stop)
        if stop.view is not None:
            self.live._judging = stop.judging
            self.live.show(stop.view, stop.notices, stop.flags)
            self.add_widget(self.live)
            return
        scale = Scale((size.width, size.height), size.inches)
        more = self.words("page.more")
        self.sheet = SheetPage(
            stop.sheets[tongue],
            (size.width, size.height),
            scale,
            more,
            lambda: 0.0,
            lambda: None,
            self.words("work.practice"),
        )
        self.sheet.notice(tuple(self.words.say(each) for each in stop.notices))
        self.add_widget(self.sheet)

    def _work_screen(self, stop: Stop) -> WorkScreen:
        screen = WorkScreen(
            self.words,
            self.settings,
            lambda line: stop.wearer,
            clock=lambda: 0.0,
            options=lambda view: stop.options,
            team=lambda: stop.team,
            practice=stop.practice,
        )
        screen.plan, screen.frame, screen.cut = stop.plan, stop.frame, stop.cut
        return screen
