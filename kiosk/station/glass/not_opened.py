"""A window for a record that cannot be opened, since nobody at a tablet reads a terminal."""

from __future__ import annotations

import time
from collections.abc import Callable

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.widget import Widget

from kiosk.catalog.model import StationSettings
from kiosk.log.store import CannotRecord, LogFault
from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.words import Words

AGAIN_SECONDS = 5.0  # between two attempts to open the record


class NotOpened(App):
    """One page that gives the reason, with one button that ends the program.

    It also ends, with `opened` set, once the record can be opened (`opens`; None: never tried).
    """

    use_kivy_settings = False

    def __init__(
        self, fault: LogFault, settings: StationSettings, can_open: Callable[[], bool] | None
    ) -> None:
        super().__init__()
        self._opens, self.opened = can_open, False
        self._inches = settings.screen_inches
        words = Words(settings.language)
        more_lines = []
        if isinstance(fault, CannotRecord):
            more_lines = [words("page.not_opened_unchanged"), words("page.not_opened_again")]
            more_lines[1:1] = [words("page.not_opened_by_itself")] if can_open is not None else []
        self.sheet = Sheet(
            title=words("page.not_opened"),
            headline=words("page.not_opened_line"),
            lines=(words.say(fault.message), *more_lines),
            main=Button(words("page.leave"), self.stop),
        )
        self.station = Widget()

    def build(self) -> Widget:
        """Return the page, which is made again whenever the window is turned."""
        Window.bind(on_resize=self._lay_out)
        if self._opens is not None:
            Clock.schedule_interval(self._try, AGAIN_SECONDS)
        self._lay_out()
        return self.station

    def _try(self, _: float) -> None:
        assert self._opens is not None
        if self._opens():
            self.opened = True
            self.stop()

    def _lay_out(self, *_: object) -> None:
        size = (int(Window.width), int(Window.height))
        scale = Scale(size, self._inches)
        page = SheetPage(self.sheet, size, scale, "", time.monotonic, lambda: None)
        self.station.size = size
        self.station.clear_widgets()
        self.station.add_widget(page)

    def open_settings(self, *_: object) -> bool:
        """Prevent Kivy's settings panel."""
        return True
