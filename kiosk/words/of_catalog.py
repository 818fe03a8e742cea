"""The sentences of the catalog room."""

from __future__ import annotations

from kiosk.words.marks import Sentence

CATALOG: dict[str, Sentence] = {}
