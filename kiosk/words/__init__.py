"""Message ids and faults into a language. The sentences are in `assets/locale`."""

from kiosk.words.speak import Words, fault_text

__all__ = ["Words", "fault_text"]
