"""Spoken prompts: short, without names, never waited for."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import wave
from collections.abc import Iterator
from pathlib import Path

import pytest
from view_cases import COLD, HOT, Station, one_layer, two_layers

from kiosk.plan.model import Plan
from kiosk.plan.time.handling import OPENING, hands
from kiosk.run.facts.moves import confirm_of, move_of
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.show.parts import View
from kiosk.run.state.model import ConfirmMode
from kiosk.station.glass.cues import Voice, prompts, speech, spoken
from kiosk.words import Words

PLANS = (two_layers(), one_layer(HOT), one_layer(COLD))
LONG = 600.0  # seconds: what waits for a person, and an engine that hangs


def shown(plan: Plan, confirm: ConfirmMode) -> Iterator[tuple[Station, View]]:
    """Yield every picture on the way of two garments."""
    station = Station(plan, confirm)
    for _ in range(40):
        yield station, station.see()
        view = station.answer()
        yield station, view
        if view.bar.meaning is None:
            view = station.wait(60)
        if view.kind is ScreenKind.DONE or view.nth > 2:
            return
        view = station.tap()
        while view.kind is ScreenKind.HEAT:
            yield station, view
            view = station.wait(1)


def room(station: Station, view: View) -> float:
    """Return the seconds that the announced work takes a practised person."""
    if view.kind is ScreenKind.HEAT:
        assert view.countdown is not None
        return float(view.countdown.total)
    job = station.state.job
    ticket = slot_ticket(job)
    if view.kind is not ScreenKind.HANDS or job is None or ticket is None:
        return LONG  # a question or a wait: it stays until it is answered
    passage = pass_of(job, ticket)
    move = move_of(passage, ticket, confirm_of(station.state, job.plan, passage))
    if move is None:
        return LONG
    steps = passage.steps[move.first : move.last + 1]
    opening = OPENING.low if view.open_since is not None else 0.0
    return opening + sum(hands(step).low for step in steps)


def length(text: str, language: str, folder: Path) -> float:
    """Speak to a file with espeak-ng; return its length in seconds."""
    file = folder / "said.wav"
    command = speech(text, language, "-w", str(file))
    assert command is not None, "espeak-ng is not installed"
    subprocess.run(command, check=True)
    with wave.open(str(file)) as said:
        return float(said.getnframes() / said.getframerate())


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_prompt_is_shorter_than_the_work_it_announces(language: str, tmp_path: Path) -> None:
    words, shortest = Words(language), dict[str, float]()
    for plan in PLANS:
        for confirm in ConfirmMode:
            for station, view in shown(plan, confirm):
                if said := prompts(view):
                    text = ". ".join(words.say(part) for part in said)
                    shortest[text] = min(room(station, view), shortest.get(text, LONG))
    assert len(shortest) > 12
    lengths = {text: length(text, language, tmp_path) for text in shortest}
    assert {t: (lengths[t], most) for t, most in shortest.items() if lengths[t] >= most} == {}


def test_the_three_closings_sound_different_in_both_languages() -> None:
    for language in ("en", "es"):
        words = Words(language)
        said = {
            view.phase: ". ".join(words.say(part) for part in prompts(view))
            for _, view in shown(two_layers(), ConfirmMode.EACH)
            if view.kind is ScreenKind.HEAT
        }
        assert len(said) == len(set(said.values())) == 3


def test_numbers_are_spoken_digit_by_digit() -> None:
    assert [spoken(number) for number in ("7", "07", "00", "16")] == ["7", "0 7", "0 0", "1 6"]


def test_a_prompt_speaks_nothing_from_the_roster_but_numbers() -> None:
    """A view holds no name; of what it does hold, only the number is spoken."""
    words = Words("en")
    for plan in PLANS:
        for _, view in shown(plan, ConfirmMode.GROUPED):
            text = " ".join(words.say(part) for part in prompts(view))
            assert not re.search(r"\bAL\b|Orsavel", text)


def test_a_hanging_engine_holds_nothing_up_and_the_next_prompt_ends_it(tmp_path: Path) -> None:
    said, engine = tmp_path / "said", tmp_path / "engine.py"
    os.mkfifo(said)
    engine.write_text(
        f"import pathlib, sys, time\npathlib.Path({str(said)!r}).write_text(sys.argv[1])\n"
        f"time.sleep({LONG})\n"
    )
    voice = Voice("en", lambda text, language: (sys.executable, str(engine), text))
    heard = []
    for text in ("Tack", "Final press"):
        voice.say(text)
        heard.append(said.read_text())  # waits for the engine, which then hangs
    assert heard == ["Tack", "Final press"]
    voice.close()
    speaking = voice._speaking
    assert speaking is not None
    assert speaking.wait(10) != 0  # killed, not finished


def test_without_an_engine_the_voice_turns_itself_off(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert speech("Tack", "en") is None
    voice = Voice("en")
    voice.say("Tack")
    with voice._wake:
        assert voice._wake.wait_for(lambda: voice.off, 10)
    voice.close()
