"""The sentences of the plan room."""

from __future__ import annotations

from kiosk.words.marks import Sentence

PLAN: dict[str, Sentence] = {}
