"""Every fault of the log has its sentence."""

from __future__ import annotations

import re
from pathlib import Path

import kiosk.log
from kiosk.words.speak import catalogue

ENGLISH = catalogue("en").forms
SOURCES = sorted(Path(kiosk.log.__file__).parent.rglob("*.py"))
SAID = {
    name
    for source in SOURCES
    for name in re.findall(r'"((?:log|refuse)\.[a-z_.]+)"', source.read_text("utf-8"))
}


def test_every_log_message_has_an_english_sentence() -> None:
    assert {"log.busy", "log.damaged", "log.why.full", "refuse.not_recorded"} <= SAID
    assert SAID - ENGLISH.keys() == set()


def test_every_log_sentence_is_used() -> None:
    assert {name for name in ENGLISH if name.startswith("log.")} - SAID == set()
