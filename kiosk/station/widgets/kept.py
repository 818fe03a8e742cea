"""Widgets of the screens before, to be shown again: most of a screen returns with each garment."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

from kiosk.station.widgets.drawn import Drawn

D = TypeVar("D", bound=Drawn)

MOST = 120  # a screen has some thirty parts; more than these few screens recur too seldom


class Kept:
    """The last widgets that were asked for, by what they were made of."""

    def __init__(self) -> None:
        self._widgets: dict[Hashable, Drawn] = {}

    def get(self, kind: Callable[..., D], *made_of: Hashable) -> D:
        """Return a widget made of these values: one that was put away, else a new one."""
        key = (kind, made_of)
        found = self._widgets.pop(key, None)
        if found is None or found.parent is not None or found.changed:
            found = kind(*made_of)
        self._widgets[key] = found
        if len(self._widgets) > MOST:
            del self._widgets[next(iter(self._widgets))]
        return found
