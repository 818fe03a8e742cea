"""The sentences of the run room."""

from __future__ import annotations

from kiosk.words.marks import Sentence

RUN: dict[str, Sentence] = {}
