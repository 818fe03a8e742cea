"""Message ids into a language. The sentences are in `assets/locale`."""

from kiosk.words.speak import Words

__all__ = ["Words"]
