"""A window for a record that cannot be opened, since nobody at a tablet reads a terminal."""

from __future__ import annotations

import time

from kivy.app import App
from kivy.core.window import Window
from kivy.uix.widget import Widget

from kiosk.catalog.model import StationSettings
from kiosk.log.store import CannotRecord, LogFault
from kiosk.station.desk.sheet import Button, Sheet
from kiosk.station.glass.boxes import Scale
from kiosk.station.glass.screens.sheet_page import SheetPage
from kiosk.words import Words


class NotOpened(App):
    """One page that gives the reason, with one button that ends the program."""

    use_kivy_settings = False

    def __init__(self, fault: LogFault, settings: StationSettings) -> None:
        super().__init__()
        self._inches = settings.screen_inches
        words = Words(settings.language)
        again = (words("page.not_opened_again"),) if isinstance(fault, CannotRecord) else ()
        self.sheet = Sheet(
            title=words("page.not_opened"),
            headline=words("page.not_opened_line"),
            lines=(words.say(fault.message), *again),
            main=Button(words("page.leave"), self.stop),
        )
        self.station = Widget()

    def build(self) -> Widget:
        """Return the page, which is made again whenever the window is turned."""
        Window.bind(on_resize=self._lay_out)
        self._lay_out()
        return self.station

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
