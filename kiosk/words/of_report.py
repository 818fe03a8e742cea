"""The sentences of the report room."""

from __future__ import annotations

from kiosk.words.marks import Sentence

REPORT: dict[str, Sentence] = {}
