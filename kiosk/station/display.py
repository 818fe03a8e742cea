"""How the screen is shown to the one who is at it: language, units, motion."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from kiosk.catalog.base import Degrees
from kiosk.catalog.model import StationSettings
from kiosk.run.state import Display
from kiosk.words import Words

LANGUAGES = ("en", "es")


def worn(settings: StationSettings, display: Display) -> StationSettings:
    """Return the tablet's settings with what somebody chose in their place."""
    return replace(
        settings,
        language=display.language or settings.language,
        temperature=Degrees(display.degrees) if display.degrees else settings.temperature,
        millimetres=display.length == "mm" if display.length else settings.millimetres,
        still=display.still or settings.still,
    )


@lru_cache(maxsize=8)
def words_for(language: str, degrees: Degrees, metric: bool = False) -> Words:
    """Return the same words for the same wish: a screen knows by them that it is to be redrawn."""
    return Words(language, degrees=degrees, metric=metric)


def other_language(settings: StationSettings) -> str:
    """Return the language that one tap turns to."""
    at = LANGUAGES.index(settings.language) if settings.language in LANGUAGES else 0
    return LANGUAGES[(at + 1) % len(LANGUAGES)]
