"""What is drawn once into its box: a widget without rules and without layout."""

from __future__ import annotations

from kivy.uix.widget import Widget

from kiosk.station.boxes import Box


class Drawn(Widget):
    """A widget that stands in `box` for good.

    Kivy spends most of a widget's making on looking for kv rules and on telling position and
    size to their observers. A screen is made of forty such widgets at every tap, and they have
    neither: `pos` and `size` say nothing here, `box` does. `changed` once it shows other things
    than it was made of.
    """

    changed = False

    def __init__(self, box: Box) -> None:
        super().__init__(__no_builder=True)
        self.box = box
