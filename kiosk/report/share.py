"""Shares are shown only where enough was counted to say something."""

from __future__ import annotations

LEAST = 20  # fewer are counted and shown, never turned into a rate
HIDDEN = "–"


def percent(part: float, whole: int) -> str:
    """Return a share as text with one decimal; a dash below LEAST counted."""
    return f"{100 * part / whole:.1f} %" if whole >= LEAST else HIDDEN
