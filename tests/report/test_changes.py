"""What changed since the day before: a new defect, a different pace."""

from __future__ import annotations

import json

from report_samples import facts, finished, good, noted

from kiosk.log.facts.facts import StepSeconds
from kiosk.report.answers.settings import changes
from kiosk.report.period import Period
from kiosk.run.state.model import TicketStage
from kiosk.words import Words

SAY = Words("en").say


def test_a_new_defect_is_in_the_data_by_its_id() -> None:
    bad = noted(*(finished(str(n), TicketStage.REWORK, "lifted_edge") for n in range(8)))
    now = Period((facts(garments=(good(32), good(8, first_pass=False)), noted=bad),))
    topic = changes(now, Period((facts(garments=(good(40),)),)))
    assert SAY(topic.answer[-1]) == "New: lifted edge, 8."
    told = json.loads(json.dumps(topic.data()))["changes"]
    assert {"what": "defect", "defect": "lifted_edge", "count": 8} in told


def paced(*middles: float) -> list[str]:
    """Return the changes of thirteen garments a day, a second apart around each middle."""
    now, then = (
        Period((facts(cycles=(StepSeconds(0, 0, 0, 4, tuple(middle + n for n in range(-6, 7))),)),))
        for middle in middles
    )
    return [SAY(each) for each in changes(now, then).answer]


def test_a_changed_pace_is_reported_with_both_medians() -> None:
    """Thirteen against thirteen, all longer: by chance once in ten million (26 over 13)."""
    assert paced(90.0, 60.0) == ["stack at north: a garment takes 90 s, before 60 s."]
    assert paced(60.0, 90.0) == ["stack at north: a garment takes 60 s, before 90 s."]


def test_a_pace_within_a_fifth_of_the_day_before_is_not_reported() -> None:
    """Common practice, no source: hand times differ by a fifth from day to day."""
    assert paced(71.0, 60.0) == paced(60.0, 60.0) == ["Nothing in the record."]
