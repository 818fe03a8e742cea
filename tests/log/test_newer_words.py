"""Words of a newer program: an unknown word is shown unchanged, and nothing fails.

An id stored as text is shown; a kind or word that decides what happened is refused.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import kiosk
from log_samples import garments, plan
from log_station import Station

from kiosk.catalog.base.notes import recorded_word, say
from kiosk.log.record.recorder import start
from kiosk.log.store import codec
from kiosk.log.store.errors import Newer
from kiosk.run.state import commands as c
from kiosk.run.state.events import Finished
from kiosk.run.state.events_shift import FirstArticleJudged, TrialJudged
from kiosk.run.state.events_station import HandedOver
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.words.speak import Words

NOTE, DEFECT, CAUSE, WARNING, FAULT, CHANGE = (
    "seam check {due}", "bubbled", "damp_store", "slow_opening", "odd_smell", "changed_airing",
)  # fmt: skip
OF_A_SHIFT = {"handover": NOTE, "defect": DEFECT, "cause": CAUSE, "warning": WARNING,
              "fault": FAULT, "change": CHANGE.removeprefix("changed_")}  # fmt: skip


@pytest.fixture(scope="module")
def newer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shift whose record has an unknown word of each kind."""
    path = tmp_path_factory.mktemp("newer") / "station.sqlite3"
    station, made = Station(path), plan()
    changed = (say(f"settings.{CHANGE}", seconds=4), say(f"settings.{CHANGE}", piece="name.1"))
    (settings,) = made.settings
    settings = replace(settings, warnings=(WARNING,), changed_from_normal=changed)
    station.do(c.Start("9.9.9"))
    station.do(c.SignOn("QV", ConfirmMode.GROUPED))
    job = replace(made, settings=(settings,))
    station.do(c.StartJob("ferry-order", job, "hash", garments(2)))
    station.do(c.Tick())
    station.do(c.ReadSetting(300))
    station.press_to_rack()
    at = station.now
    ticket = next(iter(station.recorder.state.jobs["ferry-order"].tickets))
    station.recorder.store.append([
        Finished(at, ticket, TicketStage.SCRAP, True, defect=DEFECT, cause=CAUSE, piece="name.1"),
        FirstArticleJudged(at, ticket, "an article", False, "WX", "QV", faults=(FAULT,)),
        TrialJudged(at, "ferry-order", ("an article",), (), False, "QV", (FAULT, "peel")),
        HandedOver(at, "QV", "AK", "ferry-order", setting=300, notes=("rack", NOTE)),
    ])  # fmt: skip
    station.recorder.close()
    return path


@pytest.mark.parametrize("form", ["--json", "--people"])
def test_a_report_shows_unknown_words_unchanged(newer: Path, form: str) -> None:
    files = [str(newer.with_name(name)) for name in ("a.html", "a.csv", "b.csv")]
    options = [*zip(("--html", "--csv", "--tables"), files, strict=True)]
    said = kiosk("report", "--log", str(newer), form, *(each for two in options for each in two))
    assert (said.code, said.err) == (0, "")
    page = Path(files[0]).read_text("utf-8")
    assert {sort: word for sort, word in OF_A_SHIFT.items() if word not in page} == {}


def test_a_garments_card_shows_unknown_words_and_an_orders_sheet_is_made(newer: Path) -> None:
    card = kiosk("report", "--log", str(newer), "--garment", "ferry-order/1")
    assert card.code == 0, card.err
    assert DEFECT in card.out
    assert CAUSE in card.out
    assert kiosk("report", "--log", str(newer), "--order", "ferry-order").code == 0


def test_only_words_from_a_record_may_be_unknown() -> None:
    """A missing sentence of this program itself is an error, and is found."""
    words = Words("en")
    assert words.say(recorded_word("cause", "damp_store")) == "damp_store"
    assert words.say(recorded_word("cause", "over_run")) == words("cause.over_run")
    assert words.say(recorded_word("cause", "{0} of {x}")) == "{0} of {x}"
    told = words("report.about_line", job=recorded_word("cause", "{x}"), line="3")
    assert "{x}" in told
    with pytest.raises(KeyError):
        words("cause.damp_store")


def test_an_unknown_result_is_refused_without_mending_the_record(tmp_path: Path) -> None:
    """Its checksum is right: mending such a record would discard valid results."""
    path = tmp_path / "station.sqlite3"
    station = Station(path)
    station.begin(2)
    station.press_to_rack()
    row = codec.encode(Finished(station.now, "1/1/1", TicketStage.REWORK, True))
    assert '"stage":"rework"' in row.payload
    row = row._replace(payload=row.payload.replace('"rework"', '"washed first"'))
    station.recorder.store.add([row])
    station.recorder.close()
    before = rows(path)
    with pytest.raises(Newer) as refused:
        start(path, station.now)
    told = Words("en").say(refused.value.message)
    assert f"{path} was written by a newer program (ticket stage washed first)" in told
    for command in (("report",), ("log", "--verify"), ("log", "--json")):
        said = kiosk(*command, "--log", str(path))
        assert said.code == 1
        assert said.err == f"{told}\n"
    assert rows(path) == before
    assert [each.name for each in tmp_path.iterdir() if "damaged" in each.name] == []


def rows(path: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT * FROM events ORDER BY seq").fetchall()
