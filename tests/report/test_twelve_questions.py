"""A supervisor's twelve questions about two weeks of three stations in which all is known.

Each question has one answer in the hard week and another in the quiet one: what is planted
(see `week_stories`) must be named, and nothing of the other week.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import redirect_stderr, redirect_stdout
from html import unescape
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from week_press import Story, planned
from week_stories import HOT, NORTH, SOUTH, hard, make_week, quiet

from kiosk.__main__ import main
from kiosk.plan.model import Phase, Plan
from kiosk.report.content import QUESTIONS

LAYERED, PILE = planned(Story(NORTH, "", "", ())), planned(Story(SOUTH, "", "", ()))
HOTTER = planned(Story(SOUTH, "", "", (), set_temperature=HOT))


def seconds(plan: Plan, phase: Phase) -> int:
    return next(step.seconds or 0 for step in plan.passes[0].steps if step.phase is phase)


def setting(plan: Plan) -> str:
    (found,) = {closing.temperature for panel in plan.settings for closing in panel.closings}
    return f"{found} °F, {seconds(plan, Phase.FINAL)} s"


TACK = float(seconds(LAYERED, Phase.TACK))
LOWER, UPPER = (p.colour for p in LAYERED.pieces if p.element == "number")
SMOOTH = LAYERED.sources.title_of(LAYERED.pieces[0].material)
Stories = Callable[[int], Iterator[tuple[str, Story]]]

HARD = {
    "behind": ("League shirts, Friday", "min behind plan", "3 of 8"),
    "failed": ("lifted edge", "pressed too short", "10 of 12"),
    "material": ("Plush film, soft raised pile: 10 of 40 garments", "Only pressed at bench-south"),
    "slow": ("lay layer (Cool film, name and number): median 75 s",),
    "drift": ("bench-south is drifting: from +0.0 to +4.0 °F", "bench-east: last check FAILED"),
    "help": ("QV: reading the number", "ZD: waiting for the peel"),
    "recheck": ("bench-east", "pull back the 4 garments", "Course shirts, Friday: 23 44 55 31"),
    "overridden": ("Once: pressed without a good check of the press", "WX", "probe suspected"),
    "buy": ("1 scrapped garment", f"{LOWER} 6×1 8×1 ({SMOOTH}); {UPPER} 6×1 8×1 ({SMOOTH})"),
    "tack": (f"Yes: {TACK + 3.5} s", f"{TACK} s set", "76 of 76"),
    "peels": ("10 early", "cold peels of Plush film, name and number"),
    "changed": (
        f"{setting(PILE)} is now {setting(HOTTER)}",
        "materials.yaml, plush-film, pressing time, 0, usual: 18 s is now 21 s",
    ),
}
QUIET = {
    "behind": ("None: all 15 jobs are done",),
    "failed": ("scorch", "pressed too long", "4 of 5"),
    "material": ("Too little to say: 5 garments",),
    "slow": ("None: all",),
    "drift": ("bench-south is steady",),
    "help": ("Nobody",),
    "recheck": ("Nothing",),
    "overridden": ("Once: second final press", "WX", "edge lifted"),
    "buy": ("Nothing scrapped",),
    "tack": (f"No: {TACK + 0.3} s",),
    "peels": ("No: none of 80",),
    "changed": ("At the press this time but not last time: NB",),
}


class Week:
    """A week's logs, and what `kiosk report` says of them."""

    def __init__(self, folder: Path, stories: Stories) -> None:
        self.folder = folder
        self.logs = make_week(folder, stories)

    def report(self, *asked: str) -> Any:
        logs = [part for log in self.logs for part in ("--log", str(log))]
        out = StringIO()
        with redirect_stdout(out), redirect_stderr(out):
            assert main(["report", *logs, *asked, "--json"]) == 0, out.getvalue()
        return json.loads(out.getvalue())


@pytest.fixture(scope="module")
def weeks(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Week]:
    made = {"hard": hard, "quiet": quiet}
    return {name: Week(tmp_path_factory.mktemp(name), each) for name, each in made.items()}


@pytest.fixture(scope="module")
def answers(weeks: Mapping[str, Week]) -> Mapping[str, Mapping[str, str]]:
    return {name: week.report("--shift", "week")["answers"] for name, week in weeks.items()}


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize(("week", "known"), [("hard", HARD), ("quiet", QUIET)])
def test_each_answer_names_what_was_planted(
    answers: Mapping[str, Mapping[str, str]],
    week: str,
    known: Mapping[str, tuple[str, ...]],
    question: str,
) -> None:
    for part in known[question]:
        assert part in answers[week][question]


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_answers_of_the_two_weeks_differ(
    answers: Mapping[str, Mapping[str, str]], question: str
) -> None:
    assert answers["hard"][question] != answers["quiet"][question]


def test_the_page_gives_the_same_answers(weeks: Mapping[str, Week]) -> None:
    week = weeks["hard"]
    page = week.folder / "week.html"
    found = week.report("--shift", "week", "--html", str(page))
    text = unescape(page.read_text("utf-8"))
    assert all(answer.split(". ")[0] in text for answer in found["answers"].values())
    assert text.count("<svg") >= 2


def test_the_default_is_the_last_shift_of_each_station(weeks: Mapping[str, Week]) -> None:
    found = weeks["hard"].report()
    assert [each["station"] for each in found["shifts"]] == ["north", "south", "east"]
    assert {each["began"][:10] for each in found["shifts"]} == {"2026-02-06"}
    assert found["answers"]["behind"].startswith("League shirts, Friday")
    assert "3 of 8" in found["answers"]["behind"]


def test_a_week_is_compared_with_itself_day_by_day(weeks: Mapping[str, Week]) -> None:
    week, day = (weeks["hard"].report("--shift", asked) for asked in ("week", "day"))
    assert len(week["shifts"]) == 15
    assert len(day["shifts"]) == 3
    assert week["answers"]["changed"] == day["answers"]["changed"]


def test_a_weeks_ratios_keep_the_standards_identities(weeks: Mapping[str, Week]) -> None:
    found = weeks["hard"].report("--shift", "week", "--busy-time", "480min")
    ratio, element = found["ratios"], found["elements"]
    assert element["pbt"] == 480 * 60
    assert ratio["oee"] == pytest.approx(element["pru"] * element["gq"] / element["pbt"])
    assert ratio["availability"] == pytest.approx(
        ratio["allocation_efficiency"] * ratio["utilization_efficiency"]
    )
    assert element["aupt"] == pytest.approx(element["apt"] + element["asut"])
    assert element["pq"] == element["gq"] + element["sq"]


def test_people_who_need_help_are_listed_alphabetically_and_not_ranked(
    weeks: Mapping[str, Week],
) -> None:
    found = weeks["hard"].report("--shift", "week")["help"]
    assert [each["operator"] for each in found] == sorted(each["operator"] for each in found)
    assert {key for each in found for key in each} == {"operator", "topic"}


def test_logs_with_the_same_name_are_told_apart(weeks: Mapping[str, Week], tmp_path: Path) -> None:
    week = weeks["hard"]
    copies = [tmp_path / log.stem / "log.sqlite3" for log in week.logs]
    for log, copy in zip(week.logs, copies, strict=True):
        copy.parent.mkdir()
        shutil.copy(log, copy)
    alike = Week.__new__(Week)
    alike.logs = tuple(copies)
    table = tmp_path / "garments.csv"
    found = alike.report("--shift", "week", "--csv", str(table))
    told = {about: answer.replace("/log", "") for about, answer in found["answers"].items()}
    assert told == week.report("--shift", "week")["answers"]
    assert {each["station"] for each in found["shifts"]} == {"north/log", "south/log", "east/log"}
    lines = table.read_text("utf-8").splitlines()
    assert len(lines) == 1 + 121  # the header; 120 garments, one of them made again
