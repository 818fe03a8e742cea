"""The sentences of the station room."""

from __future__ import annotations

from kiosk.words.marks import Sentence

STATION: dict[str, Sentence] = {}
