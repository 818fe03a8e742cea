"""Every refusal has its sentence, and every sentence its refusal."""

from __future__ import annotations

import re
from pathlib import Path

from every_kind import IN, command_for

from kiosk.run.decide.decide import COMMANDS, decide
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.defects import CAUSES, DEFECTS, cause_word, defect_word
from kiosk.run.state.event import Refusal
from kiosk.words import Words
from kiosk.words.speak import catalogue

ROOM = Path(__file__).resolve().parents[2] / "kiosk" / "run"


def ids_in_code() -> set[str]:
    """The ids written in the room's code, and those built from kinds."""
    files = (*(ROOM / "decide").glob("*.py"), ROOM / "facts" / "represses.py")
    text = "\n".join(file.read_text("utf-8") for file in sorted(files))
    named = {f"refuse.{found}" for found in re.findall(r'refuse\(\s*"([a-z_.]+)"', text)}
    either = {
        f"refuse.{found}"
        for pair in re.findall(r'refuse\("([a-z_.]+)" if \w+(?:\.\w+)? else "([a-z_.]+)"\)', text)
        for found in pair
    }
    passed = {f"refuse.{found}" for found in re.findall(r'now, "([a-z_]+\.already)"', text)}
    whole = set(re.findall(r'"(refuse\.[a-z_.]+)"', text))
    kinds = {f"refuse.while.{kind.name.lower()}" for kind in ScreenKind}
    return named | either | passed | whole | kinds


def test_every_refusal_of_the_code_has_a_sentence_and_none_is_left_over() -> None:
    written = {name for name in catalogue("en").forms if name.startswith("refuse.")}
    assert ids_in_code() == written - {"refuse.not_recorded"}  # the record's own


def test_the_values_of_a_refusal_fit_its_sentence() -> None:
    words = Words()
    spoken = set()
    for begin in IN.values():
        for command in COMMANDS:
            bench = begin()
            answer = decide(bench.state, command_for(command, bench), bench.now)
            if isinstance(answer, Refusal):
                spoken.add(words.say(answer.reason))
    assert len(spoken) > 20
    assert not any("{" in sentence for sentence in spoken)


def test_every_defect_and_cause_has_its_word() -> None:
    words = Words()
    for message in (*(defect_word(d.id) for d in DEFECTS), *(cause_word(c) for c in CAUSES)):
        assert words.say(message)
    assert {c for d in DEFECTS for c in d.causes} <= set(CAUSES)
