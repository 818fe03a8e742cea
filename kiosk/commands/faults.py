"""Prints faults, every one, without a player's name."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace

from kiosk.catalog.model import Fault
from kiosk.words import Words
from kiosk.words.faults import fault_text


def print_faults(faults: Iterable[Fault], words: Words) -> None:
    """Print each fault on stderr in a line of its own; what stands in a name's cell is left out."""
    for fault in faults:
        shown = replace(fault, found="", nearest="") if fault.key == "name" else fault
        print(fault_text(shown, words), file=sys.stderr)


def wrong(faults: Iterable[Fault]) -> bool:
    """Whether any of `faults` is wrong, not merely a question for a person."""
    return any(not fault.question for fault in faults)
