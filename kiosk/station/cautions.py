"""Cautions put into a language, for pages and the work screen."""

from __future__ import annotations

from kiosk.words import Words

Caution = tuple[str, str]  # the signal word, and what can hurt


def cautions(words: Words, which: tuple[tuple[str, str], ...]) -> tuple[Caution, ...]:
    """Return cautions of `kiosk.words.cautions` in a language, each after its signal word."""
    return tuple((words(f"signal.{signal}"), words(f"caution.{name}")) for signal, name in which)
