"""The window: one page at a time, redrawn when something on it may have changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.core.window import Window

from kiosk.catalog.base import Message
from kiosk.run.facts import ScreenKind, question_at_hand
from kiosk.run.show import View, next_change, view
from kiosk.run.state import AnswerQuestion, Back, Forward, Now, PressClosed, PressOpened
from kiosk.station.desk.cues import Cue
from kiosk.station.desk.desk import Desk, StationParts
from kiosk.station.desk.display import Keys, with_choices, words_for
from kiosk.station.desk.jobs.rosters import Rosters
from kiosk.station.desk.pages import AT_WORK, SHEETS, page_at_work, tick
from kiosk.station.desk.sheet import (
    ChipTouched,
    DullClick,
    HoldOption,
    PageKind,
    Sheet,
    ShowChoices,
)
from kiosk.station.desk.shell import Shell
from kiosk.station.glass.boxes import Scale, stays_awake
from kiosk.station.glass.cues import CueOutput, prompts
from kiosk.station.glass.inputs import Inputs, safe_callback
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.paint import Shown

if TYPE_CHECKING:  # not needed to start on the work screen
    from kiosk.station.desk.work.trial import Trial
    from kiosk.station.glass.apart import ApartScreen
    from kiosk.station.glass.screens.sheet_page import SheetPage

APART = frozenset({PageKind.PRACTISE, PageKind.TRYING})
"""Pages with a garment that is not in the record."""


class StationWidget(Shown):
    """Everything in the window. Made once; `close` unbinds it."""

    def __init__(self, parts: StationParts, on_leave: Callable[[], None]) -> None:
        super().__init__()
        self.parts = parts
        self.settings = with_choices(parts.library.station, parts.recorder.state.display)
        self.words = words_for(
            self.settings.language, self.settings.temperature, self.settings.millimetres
        )
        self.cues = CueOutput(self.settings.language)
        self.shell = Shell(
            parts.recorder, Rosters(parts.library), parts.now, self._sound, parts.executor
        )
        self.desk = Desk(
            self.shell, parts.library, parts.pin, parts.identity, on_leave, parts.sending
        )
        names, team = self.shell.rosters.name, self.shell.rosters.team
        self.screen = WorkScreen(
            self.words, self.settings, names, self.act, self._clock, self._options,
            team=team, ahead=self._view_ahead,
        )  # fmt: skip
        self._apart: dict[PageKind, ApartScreen] = {}  # made when first needed
        self.sheet: SheetPage | None = None
        self._next = 0.0
        self._refreshes = 0  # counts refreshes: what a touch did and showed is not shown twice
        Window.bind(on_request_close=_stay, on_resize=self._resized)
        self.inputs = Inputs(self, self._clock)
        self.desk.silent, self.desk.awake = self.cues.silent, stays_awake
        self.desk.try_out = lambda cue: self.cues.try_out(cue, self.words)
        self.desk.judge = self.screen.judge
        self._frame = Clock.schedule_interval(safe_callback(self._each_frame), 0)

    def _view_ahead(self, forward: Forward | None) -> View | None:
        """Return the work screen after `forward`, or after the right answer if None.

        None if another page would be shown.
        """
        now, job = self.parts.now(), self.shell.state.job
        question = None if job is None else question_at_hand(job)
        answer = None if question is None else AnswerQuestion(question.right)
        command = forward or answer
        state = None if command is None else self.shell.state_after(command)
        if state is None or self.shell.focus:
            return None
        following = view(state, now, nameless=self.shell.rosters.nameless)
        if following.kind in AT_WORK:
            return None
        return self.desk.forecast.on_screen(following, state.job, now.wall)

    def _apart_screen(self, page: PageKind) -> ApartScreen:
        """Return the screen of practice or of trials, made when first needed."""
        if page not in self._apart:
            from kiosk.station.glass.apart import SCREENS

            self._apart[page] = SCREENS[page](
                self.desk, self.words, self.settings, self._clock, self.act, self.refresh
            )
        return self._apart[page]

    def _clock(self) -> float:
        return self.parts.now().clock

    def _sound(self, cue: Cue) -> None:
        self.cues.sound(cue.value, self.desk.cues())

    def _speak(self, messages: tuple[Message, ...]) -> None:
        self.cues.speak(messages, self.words, self.desk.cues())

    def _options(self, view: View) -> tuple[HoldOption, ...]:
        if view.kind is not ScreenKind.HELD:
            return ()
        from kiosk.station.desk.work.hold import options

        return options(self.desk)

    # -- inputs -----------------------------------------------------------

    def key_pressed(self, scancode: int) -> bool:
        """Take a key if one is being learned; return whether it was taken."""
        learned = self.desk.of(Keys).take(scancode)
        if learned:
            self.refresh()
        return learned

    def choices(self) -> None:
        """Go from a page that replaces the work screen to the choices."""
        if self.desk.page is PageKind.WORK:
            self.desk.go(PageKind.CHOICES)

    def notify(self, message: Message, lasting: bool = False) -> None:
        """Show a message about the inputs themselves."""
        self.shell.say(message, lasting)

    def close(self) -> None:
        """Unbind from the window and stop drawing."""
        self.shell.estimates.close()
        self.desk.close()
        self.inputs.close()
        Window.unbind(on_request_close=_stay, on_resize=self._resized)
        self._frame.cancel()
        self.cues.voice.close()
        for end in self.desk.closing:
            end()

    @property
    def live(self) -> WorkScreen:
        """The work screen that a pedal acts on: that of practice or a trial while it is shown."""
        shown = (each for each in self._apart.values() if each.parent is not None)
        return next(shown, self.screen)

    def on_touch_down(self, touch: Any) -> bool:
        """Show what a touch changes in the same frame."""
        shown, handled = self._refreshes, bool(super().on_touch_down(touch))
        if self._refreshes == shown:
            self.refresh()
        return handled

    def on_touch_up(self, touch: Any) -> bool:
        """Show what lifting a finger changes, unless a bar still holds the touch and will act."""
        refreshes, handled = self._refreshes, bool(super().on_touch_up(touch))
        if self._refreshes == refreshes and not touch.grab_list:
            self.refresh()
        return handled

    def act(self, action: object) -> None:
        """Do what the work screen asks, and show the result in the same frame."""
        if isinstance(action, ChipTouched):
            second_touch = self.shell.focus == action.ticket  # a second touch ends the look
            self.shell.focus = "" if second_touch else action.ticket
        elif isinstance(action, DullClick):
            self._sound(Cue.REFUSED)
            if action.reason is not None:
                self.shell.say(action.reason)
        elif isinstance(action, ShowChoices):
            self.desk.go(PageKind.CHOICES)
        elif isinstance(action, Back) and self.shell.view(self.parts.now()).back_closing:
            self.desk.go(PageKind.WAS_CLOSED)
        elif callable(action):
            action()
        elif isinstance(action, PressClosed | PressOpened) and self._trial.at_press:
            self._trial.do(action)  # the switch sees the piece of cloth, not a garment
        else:
            self.shell.work(action)  # type: ignore[arg-type]  # the rest are commands
        self.refresh()

    @property
    def _trial(self) -> Trial:
        from kiosk.station.desk.work.trial import Trial

        return self.desk.of(Trial)

    # -- showing ----------------------------------------------------------

    def still(self) -> float:
        """Return the seconds until something may change by itself, 0 if something already has."""
        news = self.shell.has_news or self.desk.has_news()
        return 0.0 if news else max(0.0, self._next - self.parts.now().clock)

    def _each_frame(self) -> None:
        if not self.still():
            tick(self.desk)
            self.refresh()

    def _resized(self, *_: object) -> None:
        self.size = Window.size
        self.refresh()

    def refresh(self) -> None:
        """Show the current page, and note when it may change by itself."""
        self._refreshes += 1
        self._apply_display()
        self.inputs.listen_to(self.shell.state.keys)
        now, state = self.parts.now(), self.shell.state
        hot = state.heat is not None or state.open_first  # what is hot comes before any page
        if not hot and self.desk.page is PageKind.WORK and state.job is None:
            self.desk.go_on()
        if not hot and self.desk.page in APART and self._show_apart(now):
            return
        if not hot and self.desk.page is not PageKind.WORK:
            self._show_sheet(SHEETS[self.desk.page](self.desk, self.words), now)
            self._speak(())
            self._next = now.clock + 1.0
            return
        view = self.shell.view(now)
        self._speak(prompts(view))
        if view.kind in AT_WORK and not self.shell.focus:
            self._show_sheet(page_at_work(self.desk, self.words, view), now)
            self._next = now.clock + 1.0
            return
        self._show_work(view, now)
        self._next = next_change(view, now.clock)

    def _apply_display(self) -> None:
        """Use the language and the units of the current operator."""
        settings = with_choices(self.parts.library.station, self.shell.state.display)
        if settings != self.settings:
            self.settings = settings
            self.words = words_for(settings.language, settings.temperature, settings.millimetres)
            for screen in (self.screen, *self._apart.values()):
                screen.settings, screen.words = settings, self.words
            self.cues.voice.language = settings.language
            self.sheet = None  # drawn again

    def _show_apart(self, now: Now) -> bool:
        """Show the garment that is not in the record, or ask about it; False once it is over."""
        screen = self._apart_screen(self.desk.page)
        content = screen.go_on()
        if content is None:
            return False
        self._speak(())
        if isinstance(content, Sheet):
            self._show_sheet(content, now)
        else:
            self._put(screen)
            content(now)
        self._next = screen.next_look(now.clock)
        return True

    def _put(self, screen: WorkScreen) -> None:
        if self.sheet is not None or screen.parent is None:
            self.clear_widgets()
            self.sheet = None
            self.add_widget(screen)

    def _show_work(self, view: View, now: Now) -> None:
        self._put(self.screen)
        job = self.shell.state.job
        self.screen.plan = job.plan if job is not None else None
        view = self.desk.forecast.on_screen(view, job, now.wall)
        self.screen.show(view, self.shell.notices(now))

    def _show_sheet(self, sheet: Sheet, now: Now) -> None:
        size = (int(Window.width), int(Window.height))
        scale = Scale(size, self.settings.screen_inches)
        messages = self.shell.notices(now)
        if sheet.practice:
            from kiosk.station.desk.learn.practice import Practice

            messages = self.desk.of(Practice).notices(now)
        notices = tuple(self.words.say(notice) for notice in messages)
        if self.sheet is None or self.sheet.scale != scale:
            from kiosk.station.glass.screens.sheet_page import SheetPage

            self.clear_widgets()
            more, frame = self.words("page.more"), self.words("work.practice")
            dull = lambda: self._sound(Cue.REFUSED)  # noqa: E731 - too short for a name of its own
            self.sheet = SheetPage(sheet, size, scale, more, self._clock, dull, frame)
            self.add_widget(self.sheet)
        else:
            self.sheet.turn(sheet)
        self.sheet.notice(notices)


def _stay(*_: object, **__: object) -> bool:
    """Refuse to close: only the supervisor can leave."""
    return True
