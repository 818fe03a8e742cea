"""A garment that is not in the record, on the same work screen: practice or a trial."""

from abc import abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import StationSettings
from kiosk.plan.model import Phase
from kiosk.run.facts import ScreenKind
from kiosk.run.show import View, next_change
from kiosk.run.state import Command, Now, PutOnHold
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn.practice import NAME, Practice
from kiosk.station.desk.learn.practice_pages import bench, question_page
from kiosk.station.desk.sheet import (
    ChipTouched,
    DullClick,
    HoldOption,
    PageKind,
    Sheet,
    ShowChoices,
)
from kiosk.station.desk.work.trial import Trial
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.train.practice import PRESS_SPEED, PracticePace, Rehearsal, Session
from kiosk.words import Words

AGAIN_SECONDS = 0.1  # practice's clock may run faster than the station's


class ApartScreen(WorkScreen):
    """A work screen whose commands never reach the record of work.

    `wearer` is the name shown. `refused` is called for an action that does nothing now; `refresh`
    is called after every action.
    """

    wearer = ""

    def __init__(
        self,
        desk: Desk,
        words: Words,
        settings: StationSettings,
        clock: Callable[[], float],
        refused: Callable[[DullClick], None],
        refresh: Callable[[], None],
    ) -> None:
        super().__init__(
            words,
            settings,
            lambda line: self.wearer,
            self._take_action,
            clock,
            self._hold_options,
            practice=True,
        )
        self._desk = desk
        self._refused = refused
        self._refresh = refresh

    @abstractmethod
    def go_on(self) -> Sheet | Callable[[Now], None] | None:
        """Return a page with a question, or a function that shows the garment; None once over."""

    def next_look(self, clock: float) -> float:
        """Return the time on the clock to look again."""
        return clock + AGAIN_SECONDS

    @abstractmethod
    def _stop_option(self) -> HoldOption:
        """Return the option on hold that ends it."""

    @abstractmethod
    def _look(self, ticket: str) -> None:
        """Turn to the garment of a touched chip."""

    @abstractmethod
    def _do(self, command: Command) -> None:
        """Pass on a command."""

    def _hold_options(self, view: View) -> tuple[HoldOption, ...]:
        return (self._stop_option(),) if view.kind is ScreenKind.HELD else ()

    def _hold(self) -> None:
        """Hold on a long press; if already held, take the only choice, which ends it."""
        if self.view is not None and self.view.kind is ScreenKind.HELD:
            self._take_action(self._stop_option().action)
        elif self.view is not None and self.view.hold:
            self._do(PutOnHold())
        else:
            self._refused(DullClick())

    def _take_action(self, action: object) -> None:
        if isinstance(action, ChipTouched):
            self._look(action.ticket)
        elif isinstance(action, DullClick):
            self._refused(action)
        elif isinstance(action, ShowChoices):
            self._hold()
        elif callable(action):
            action()
        else:
            self._do(action)  # type: ignore[arg-type]  # the rest are commands
        self._refresh()


class PracticeScreen(ApartScreen):
    """Passes its commands to the practice garment."""

    wearer = NAME

    def go_on(self) -> Sheet | Callable[[Now], None] | None:
        """Return a page (question or bench) or a function that shows the press; None at the end."""
        practice = self._desk.of(Practice)
        practice.still = self.settings.still
        practice.tick()
        session = practice.session
        if session is None or session.ended:
            self._desk.go(PageKind.PRACTICE_ENDED)
            return None
        if session.page is not None and session.press.state.heat is None:
            return question_page(self._desk, self.words, session.page)
        bench_now = session.bench()
        return (
            partial(self._show, session)
            if bench_now is None
            else bench(self._desk, self.words, bench_now)
        )

    def _show(self, session: Session, now: Now) -> None:
        """Show the garment and the level of help."""
        self.plan = session.wish.plan
        flags = [say(f"practice.level.{session.level.word}")]
        if session.wish.pace is PracticePace.SHORT and session.press.state.heat is not None:
            flags.insert(0, say("practice.fast", times=round(PRESS_SPEED)))
        view = replace(session.view(), nth=0)  # there is only one garment: no count
        self.show(view, self._desk.of(Practice).notices(now), tuple(flags))

    def _stop_option(self) -> HoldOption:
        return HoldOption(say("practice.stop"), self._desk.of(Practice).stop)

    def _look(self, ticket: str) -> None:
        self._desk.of(Practice).look_at_garment(ticket)

    def _do(self, command: Command) -> None:
        self._desk.of(Practice).do(command)


CLOTH_IDS = frozenset(
    {"bar.peeled", "bar.peeled_stage", "bar.touched", "bar.then.rack_peel", "below.result"}
    | {
        f"bar.finish{peeled}.{after}"
        for peeled in ("", "_peeled")
        for after in ("only", "again", "again_part")
    }
)
"""Ids of messages that read differently for a piece of cloth."""
TICKET_IDS = frozenset({"line.inspect.match", "line.inspect.part"})
"""Ids of lines that compare a garment with its ticket."""


class TrialScreen(ApartScreen):
    """Passes its commands to the piece of cloth; has a plain frame, because the press is hot."""

    frame = "trial"

    def go_on(self) -> Sheet | Callable[[Now], None] | None:
        """Return a function that shows the piece; None once it is pressed and its card is next."""
        trial = self._desk.of(Trial)
        trial.tick()
        if trial.rehearsal is None or trial.is_pressed:
            self._desk.go(PageKind.WORK)
            return None
        return partial(self._show, trial.rehearsal)

    def _show(self, rehearsal: Rehearsal, now: Now) -> None:
        """Show the piece as it is now."""
        self.plan = rehearsal.plan
        view = rehearsal.view(self._desk.shell.now())
        self.cut = ("" if view.phase is Phase.LOAD else view.digits, view.size)
        label = self.words("trial.cloth") if view.inspect_number else ""
        view = _with_card(replace(_cloth_view(view), inspect_number=label))
        self.show(view, self._desk.shell.notices(now), (say("trial.piece"),))

    def next_look(self, clock: float) -> float:
        """Return when the view next changes: a trial runs on the station's own clock."""
        return clock if self.view is None else next_change(self.view, clock)

    def _stop_option(self) -> HoldOption:
        return HoldOption(say("trial.stop"), self._desk.of(Trial).leave)

    def _look(self, ticket: str) -> None:
        self._desk.of(Trial).look_at(ticket)

    def _do(self, command: Command) -> None:
        self._desk.of(Trial).do(command)


def _cloth_view(view: View) -> View:
    """Return the view without number and size: a piece of cloth is not a garment of the job."""
    bar = view.bar
    view = replace(
        view,
        number="",
        digits="",
        size="",
        set="",
        nth=0,
        move=_unnumbered(view.move),
        lines=tuple(_unnumbered(line) for line in view.lines),
        bar=replace(bar, label=_unnumbered(bar.label), below=_unnumbered(bar.below)),
        chips=tuple(replace(chip, number="") for chip in view.chips),
    )
    if view.phase is not Phase.LOAD or not view.move.id.startswith("move.load"):
        return view
    sheet = "_sheet" if view.move.id.endswith("_sheet") else ""
    lines = tuple(each for each in view.lines if not each.id.startswith("line.load."))
    return replace(view, move=say(f"trial.load{sheet}"), lines=(say("trial.line.flat"), *lines))


def _with_card(view: View) -> View:
    """Return the view without the results of a garment: a piece of cloth is judged on its card."""
    if not view.inspecting:
        return view
    card = say("trial.line.card")
    looks = tuple(each for each in view.lines if each.id not in TICKET_IDS)
    ends = len(looks) < len(view.lines) and "again" not in view.bar.label.id
    lines = (*looks[:2], card, *looks[2:]) if ends else looks
    by_bar = view.bar.meaning is not None
    return replace(view, lines=lines, inspecting=not by_bar, inspect_card=not by_bar)


def _unnumbered(message: Message) -> Message:
    """Return the message in its wording for a piece of cloth, which has no number."""
    id_ = f"trial.{message.id}" if message.id in CLOTH_IDS else message.id
    numbered = "number" in message.values
    return say(id_, **{**message.values, **({"number": say("trial.cloth")} if numbered else {})})


SCREENS: Mapping[PageKind, type[ApartScreen]] = {
    PageKind.PRACTISE: PracticeScreen,
    PageKind.TRYING: TrialScreen,
}
"""The screen class for each of these pages of the desk."""
