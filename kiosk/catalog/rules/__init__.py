"""Reads what leagues and sports ask for, packs and faces."""

# fmt: off
from kiosk.catalog.rules.faces import Face, Glyph, read_face, single

__all__ = [
    "Face", "Glyph", "read_face", "single",
]
