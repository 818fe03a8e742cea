"""What every event is."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.at import Now


@dataclass(frozen=True, slots=True)
class Event:
    """The moment that every event carries."""

    at: Now
