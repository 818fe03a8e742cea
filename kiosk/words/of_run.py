"""The sentences of the run room: what is shown, and why a command is turned away."""

from __future__ import annotations

from kiosk.words.marks import Sentence
from kiosk.words.of_run_bar import RUN_BAR
from kiosk.words.of_run_brief import RUN_BRIEF
from kiosk.words.of_run_lines import RUN_LINES
from kiosk.words.of_run_moves import RUN_MOVES
from kiosk.words.of_run_reasons import RUN_REASONS

RUN_VIEW: dict[str, Sentence] = {**RUN_MOVES, **RUN_LINES, **RUN_BRIEF, **RUN_BAR}
RUN: dict[str, Sentence] = {**RUN_VIEW, **RUN_REASONS}
