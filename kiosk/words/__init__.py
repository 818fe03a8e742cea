"""Message ids into a language. The English sentences stand in the tables of this room."""

from kiosk.words.speak import Words

__all__ = ["Words"]
