"""Hands that use the station as a person does: read the screen, then touch it."""

import re
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import product
from pathlib import Path
from typing import NamedTuple

from kivy.core.window import Window
from kivy.uix.widget import Widget

from kiosk.log.record import Recorder, start
from kiosk.peel.worker import ImmediateExecutor
from kiosk.run.facts import ScreenKind, seconds_missing
from kiosk.run.show import View
from kiosk.run.state import Now
from kiosk.station.demo.stage import COARSE_FRAME, DemoWindow
from kiosk.station.desk.desk import Identity, StationParts
from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.pages import look_around, start_at
from kiosk.station.desk.sending_process import SendingProcess, command
from kiosk.station.desk.side_files import PinFile
from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.ask import ChoiceButton
from kiosk.station.glass.screens.foot import Foot
from kiosk.station.glass.widgets.buttons import PaperButton
from kiosk.words.speak import ENGLISH, catalogue

WALL = 1_800_000_000.0  # an invented date: the demo has its own clock
READS = 0.7  # seconds from a new picture to the next touch; earlier touches are refused


class LabelledButton(NamedTuple):
    """A button's label and where it is."""

    label: str
    box: Box


class NotShown(Exception):
    """A control to be touched is not on the screen; the message lists what is."""


class DemoHands:
    """A person at a station on `stage`; the folder `place` holds recipes/ and jobs/.

    `log` names both its log file there and the station; `boot` is the boot id.
    """

    def __init__(
        self,
        stage: DemoWindow,
        place: Path,
        screen_inches: float = 10.1,
        log: str = "log",
        boot: str = "demo",
        language: str = "",
    ) -> None:
        self.stage = stage
        self.log = place / f"{log}.sqlite3"
        self.screen_inches = screen_inches
        self.place = place
        self.language = language
        self.boot = boot
        self.has_left = False
        self.station = self._open()

    def _open(self) -> StationWidget:
        recorder = self._recorder()
        library = Library(self.place / "recipes", self.place / "jobs")
        library.screen_inches = self.screen_inches
        library.language = self.language
        parts = StationParts(
            recorder,
            library,
            PinFile(self.place / "supervisor-pin"),
            Identity(f"demo/{self.log.stem}", "demo"),
            self.now,
            ImmediateExecutor(),
            self._sending(library),
        )
        station = StationWidget(parts, self._leave)
        station.size = Window.size
        start_at(station.desk)
        look_around(station.desk)
        station.refresh()
        self.stage.changes.append(station.still)
        self.stage.show(station)
        return station

    def _sending(self, library: Library) -> SendingProcess | None:
        """Return what would send the record, not started, or None if the shop has no server."""
        return SendingProcess(command(self.log, library.recipes)) if library.has_server else None

    def _recorder(self) -> Recorder:
        recorder, _ = start(self.log, self.now())
        return recorder

    def _leave(self) -> None:
        self.has_left = True

    def now(self) -> Now:
        """Return the current moment on the stage's clock."""
        return Now(self.boot, self.stage.now, WALL + self.stage.now)

    def restart(self, boot: str) -> None:
        """Close the station and open it again on the same log, as after a reboot."""
        self.close()
        self.boot = boot
        self.station = self._open()

    def close(self) -> None:
        """Take the station off the stage."""
        self.stage.changes.remove(self.station.still)
        self.station.close()
        self.station.parts.recorder.close()
        for child in Window.children[:]:
            Window.remove_widget(child)

    # -- seeing -----------------------------------------------------------

    @property
    def view(self) -> View:
        """The work screen as it is now."""
        return self.station.shell.view(self.now())

    def buttons(self) -> Iterator[LabelledButton]:
        """Yield every button on the screen with its label, in no particular order."""
        for widget in _walk(self.station):
            if isinstance(widget, PaperButton):
                yield LabelledButton(widget.label, widget.box)
            elif isinstance(widget, ChoiceButton):
                yield LabelledButton(widget.text, widget.box)

    # -- touching ---------------------------------------------------------

    def touch(self, *labels: str) -> None:
        """Touch the buttons with these labels in turn; a label may be only the beginning."""
        for label in labels:
            button = self._find(label)
            self.stage.pass_time(READS)
            self.stage.tap(*button.box.centre)

    def _find(self, label: str) -> LabelledButton:
        """Find a button, turning the page while there are more choices."""
        seen: set[str] = set()
        while True:
            buttons, language = list(self.buttons()), self.station.words.language
            labels = [(button, in_english(button.label, language)) for button in buttons]
            exact = [button for button, words in labels if label in words]
            starting = [
                button for button, words in labels if any(s.startswith(label) for s in words)
            ]
            if exact or starting:
                return (exact or starting)[0]
            next_page = [
                button for button in buttons if button.label == self.station.words("page.more")
            ]
            if not next_page or {button.label for button in buttons} <= seen:
                raise NotShown(f"{label!r} among {[button.label for button in buttons]}")
            seen |= {button.label for button in buttons}
            self.stage.pass_time(READS)
            self.stage.tap(*next_page[0].box.centre)

    def read_off(self, value: str) -> None:
        """Answer a question with the value read, on the number pad if it has one."""
        ask = self.view.ask
        if ask is not None and ask.pad:
            self.touch(*value, "enter")
        else:
            self.touch(value)

    def type(self, text: str) -> None:
        """Touch the keys one after the other."""
        self.touch(*text)

    def works(self) -> float:
        """Return the seconds that a look takes, or the current move if that is longer."""
        missing = seconds_missing(self.station.shell.state, self.now())
        return max(READS, missing + 0.1 if missing else 0.0)

    def bar(self, seconds: float | None = None) -> None:
        """Touch the forward bar, after looking at it and doing the move that it confirms."""
        self.stage.pass_time(self.works() if seconds is None else seconds)
        self.stage.tap(*self._foot().bar.centre)

    def side(self, right: bool = True) -> None:
        """Touch the button beside the bar: hold or opened (right), or back (left)."""
        self.stage.pass_time(READS)
        box = self._foot().right if right else self._foot().back
        if box is None:
            raise NotShown("nothing stands beside the bar")
        self.stage.tap(*box.centre)

    def _foot(self) -> Foot:
        painted = self.station.live.painted
        if painted is None:
            raise NotShown("the work screen")
        return painted.foot

    def until(self, reached: Callable[[View], bool], most: float = 600.0) -> None:
        """Let time pass until `reached` is true of the view; raise NotShown after `most` s."""
        end = self.stage.now + most
        while not reached(self.view):
            if self.stage.now > end:
                raise NotShown(f"in {most} s; now {self.view.kind}")
            self.look_on()

    def look_on(self) -> None:
        """Let time pass until something on the screen may have changed by itself."""
        self.stage.pass_time(max(COARSE_FRAME, self.station.still()))

    def until_open(self) -> None:
        """Let time pass until the press's turn is over."""
        self.until(lambda view: view.kind is not ScreenKind.HEAT)


def _walk(widget: Widget) -> Iterator[Widget]:
    yield widget
    for child in widget.children:
        yield from _walk(child)


_FIELD = re.compile(r"{(\w+)[^}]*}")


@lru_cache(maxsize=1024)
def in_english(label: str, language: str) -> frozenset[str]:
    """Return every English label that `label` may translate, and `label` itself."""
    if language == "en":
        return frozenset({label})
    sign = {"."} if label == "," else set()  # the decimal key of a number pad
    return frozenset(_translations(label, language)) | {label} | sign


def _translations(label: str, language: str) -> Iterator[str]:
    """Yield each matching English sentence, with values in English too if they are translated."""
    yield from _words(language).get(label, ())
    for pattern, english in _sentences(language):
        found = pattern.fullmatch(label)
        if found is not None and set(_FIELD.findall(english)) <= set(found.groupdict()):
            names = tuple(found.groupdict())
            words = (_words(language).get(value, ()) for value in found.groupdict().values())
            choices = [(value, *other) for value, other in zip(found.groups(), words, strict=True)]
            for values in product(*choices):
                yield english.format_map(dict(zip(names, values, strict=True)))


@lru_cache(maxsize=2)
def _words(language: str) -> dict[str, tuple[str, ...]]:
    """Return the English of each sentence without values, by its translation."""
    english_of: dict[str, set[str]] = {}
    english = catalogue(ENGLISH).forms
    for id_, forms in catalogue(language).forms.items():
        for form, own in zip(forms, english.get(id_, ()), strict=False):
            if not _FIELD.search(form + own):
                english_of.setdefault(form, set()).add(own)
    return {form: tuple(sorted(sources)) for form, sources in english_of.items()}


@lru_cache(maxsize=2)
def _sentences(language: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """Return each translated sentence with values as a pattern, beside its English."""
    pairs = []
    english = catalogue(ENGLISH).forms
    for id_, forms in catalogue(language).forms.items():
        for form, own in zip(forms, english.get(id_, ()), strict=False):
            fields = _FIELD.findall(form)
            if fields and form.strip() != fields[0].join("{}"):  # a lone value would match anything
                pairs.append((_pattern(form), own))
    return tuple(pairs)


def _pattern(sentence: str) -> re.Pattern[str]:
    """Return a sentence as a pattern; a value named twice has to match the same text twice."""
    seen: set[str] = set()
    parts = _FIELD.split(sentence)
    for at in range(1, len(parts), 2):
        name = parts[at]
        parts[at] = f"(?P={name})" if name in seen else f"(?P<{name}>.+)"
        seen.add(name)
    return re.compile("".join(p if i % 2 else re.escape(p) for i, p in enumerate(parts)))
