"""A garment's card, an order's closing sheet, reports from day to day, and a job that is due."""

from __future__ import annotations

import json
import re
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from report_samples import plan, step, ticket
from week_press import Press, Story
from week_stories import LIFTED, NORTH, PLAIN, SOUTH, bad

from kiosk.__main__ import main
from kiosk.log.facts import GarmentStory as Garment
from kiosk.log.facts import JobStart
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.plan.model import Phase, Piece
from kiosk.report.card import StationRecord, card
from kiosk.report.closing_sheet import closing_sheet
from kiosk.report.content import cell_text
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.facts.moves import required_setting
from kiosk.run.state import commands as c
from kiosk.run.state.event import Now
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.words import Words

SCRAPPED = bad(TicketStage.SCRAP, "off_centre", "laid_wrong")
DAYS = (0, 1, 7, 8)  # two Mondays and Tuesdays


@pytest.fixture(scope="module")
def log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """ZD in the first week, MK in the second; the last job stops with three of eight open."""
    path = tmp_path_factory.mktemp("south") / "south.sqlite3"
    press = Press(path)
    for day in DAYS:
        press.day(
            Story(
                SOUTH, "Winter jackets", "ZD" if day < 7 else "MK", PLAIN, day,
                checks=(1, 2), pause_before=5, switch=True, over={Phase.FINAL: 1.5},
                results={2: LIFTED, 3: SCRAPPED} if day == 0 else {},
                made=5 if day == 8 else 0, due=f"2026-02-0{day + 2}" if day < 8 else "2026-02-10",
                lots=(("plush-film", "R 4711"),),
            )
        )  # fmt: skip
    press.recorder.close()
    return path


def said(log: Path, *asked: str, code: int = 0) -> str:
    out = StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        assert main(["report", "--log", str(log), *asked]) == code, out.getvalue()
    return out.getvalue()


def told(log: Path, *asked: str) -> Any:
    return json.loads(said(log, *asked, "--json"))


def test_a_garments_card_answers_everything_a_complaint_asks(log: Path) -> None:
    """The second garment of day one: when, where, which setting, how known, which checks, who."""
    (card,) = told(log, "--garment", f"{SOUTH}-0/44")
    assert "number 44 (line 2" in card["title"]
    (result,) = card["record"]
    assert "accepted, ZD, 2026-02-02" in result
    assert "lifted edge" in result
    final = next(row for row in card["card_heat"] if row["phase"] == "final press")
    assert final["press"] == "heron (south)"
    assert final["who"] == "ZD"
    assert final["asked"] == final["shown"] != "–"
    assert final["set"].endswith(" s")  # beside the temperatures: not to be taken for one
    assert final["pressure"] == "light-medium to medium"  # as shown at the setting
    assert final["off by"] == "+1.5 s"
    assert final["how known"] == "closed: declared, opened: measured"
    before, after = card["card_checks"]
    assert (before["check"], before["last offset"]) == ("before", "+1.0 °F")
    assert before["verdict"] == "passed, paper holds"  # what a check reads of the pressure
    assert after["check"] == "after"
    assert after["when"] > final["when"] > before["when"]
    assert [(row["material"], row["lot"]) for row in card["card_materials"]] == [
        ("Plush film, soft raised pile", "R 4711")
    ] * len(card["card_materials"])


def test_a_skipped_trial_is_on_the_card_of_each_garment_pressed_since(tmp_path: Path) -> None:
    """The shipped shop requires a trial of its guesses; the made-up supervisor waives it once."""
    path = tmp_path / "sim.sqlite3"
    with redirect_stdout(StringIO()):
        assert main(["simulate", "raft-polo", "--garments", "2", "--log", str(path)]) == 0
    (closing,) = told(path, "--order", "raft-polo")
    made = [row["number"] for row in closing["sheet_garments"] if row["result"] == "good"]
    still = next(r["number"] for r in closing["sheet_garments"] if r["result"] == "open")
    for number in made:
        (card,) = told(path, "--garment", f"raft-polo/{number}")
        assert ["without a trial" in row["what"] for row in card["card_rulings"]] == [True]
    (card,) = told(path, "--garment", f"raft-polo/{still}")
    assert card["card_rulings"] == []


def test_a_remade_garment_has_both_copies_on_one_card(log: Path) -> None:
    (card,) = told(log, "--garment", f"{SOUTH}-0/55")
    first, second = card["record"]
    assert first.startswith("Copy 1: scrap")
    assert second.startswith("Copy 2: good")
    finals = [r["phase"] for r in card["card_heat"] if r["phase"].startswith("final press")]
    assert finals == ["final press, copy 1", "final press, copy 2"]


def test_a_scrapped_garment_not_yet_remade_has_an_open_copy_on_its_card(tmp_path: Path) -> None:
    path = tmp_path / "south.sqlite3"
    press = Press(path)
    press.day(Story(SOUTH, "Winter jackets", "ZD", PLAIN, results={1: SCRAPPED}, made=3))
    press.recorder.close()
    (card,) = told(path, "--garment", f"{SOUTH}-0/23")
    assert card["record"][0].startswith("Copy 1: scrap")
    assert card["record"][1:] == ["Copy 2: open."]


class Cut(Press):
    """The power fails during the first heat; the wall clock comes back an hour behind."""

    cut = False

    def _heat(self) -> None:
        if self.cut:
            super()._heat()
            return
        self.cut = True
        self.now = Now("later", 5.0, self.now.wall - 3600.0)
        self.do(c.Start("week", simulated=True))
        for _ in ("the press is open", "the garment was looked at and goes on"):
            self._pass(5.0)
            meaning = bar_meaning(self.state, self.now).meaning
            assert meaning is not None
            self.do(c.Forward(meaning, self.now.clock + 1.0))


def test_a_card_mentions_a_clock_change_and_doubtful_heat(tmp_path: Path) -> None:
    path = tmp_path / "south.sqlite3"
    press = Cut(path)
    press.day(Story(SOUTH, "Winter jackets", "ZD", PLAIN))
    press.recorder.close()
    (card,) = told(path, "--garment", f"{SOUTH}-0/23")
    (result, doubt, clock) = card["record"]
    assert result.startswith("Copy 1: good")
    assert doubt == "Copy 1, its heat or peel is in doubt: end of heat not seen."
    assert "the clock of south was set back 60 min" in clock
    assert "times of day are as that clock showed them" in clock


def test_a_number_that_is_also_another_garments_line_shows_two_separate_cards(
    tmp_path: Path,
) -> None:
    """Otherwise the heat of one garment would be read as the other's."""
    path, page = tmp_path / "south.sqlite3", tmp_path / "card.html"
    press = Press(path)
    press.day(Story(SOUTH, "Winter jackets", "ZD", ("2", "44"), 0))
    press.recorder.close()
    told = said(path, "--garment", f"{SOUTH}-0/2", "--html", str(page))
    assert "number 2 (line 1" in told
    assert "2 is the number of one garment and the line of another" in told
    assert "line 2 (number 44)" in told
    alone = said(path, "--garment", f"{SOUTH}-0/#2")
    assert "number 44 (line 2" in alone
    assert "(line 1" not in alone
    assert "is the number of one" not in alone
    shown = page.read_text("utf-8")
    first, second = shown.index("number 2 (line 1"), shown.rindex("number 44 (line 2")
    assert shown.index("card_heat") > first
    assert first < second < shown.rindex("card_heat")


def test_a_garment_found_by_its_line_is_announced_as_a_line(log: Path) -> None:
    """A person who types 2 for the shirt marked 02 would read another garment's heat as its own."""
    told = said(log, "--garment", f"{SOUTH}-0/2")
    assert "number 44 (line 2" in told
    assert f"No garment of {SOUTH}-0 has the number 2: this is the card of line 2" in told
    assert "No garment" not in said(log, "--garment", f"{SOUTH}-0/#2")
    assert "No garment" not in said(log, "--garment", f"{SOUTH}-0/44")


def test_an_unknown_job_is_reported_with_the_jobs_in_the_record(log: Path) -> None:
    told = said(log, "--garment", "nowhere/12", code=1)
    assert "has no nowhere/12" in told
    assert f"{SOUTH}-0 (Winter jackets)" in told.partition("its jobs: ")[2]


def test_an_unknown_shift_is_reported_with_each_shift_listed_once(log: Path) -> None:
    told = said(log, "--log", str(log), "--shift", "99", code=1)
    numbers = told.strip().partition("it has: ")[2].split(", ")
    assert numbers == [str(nth) for nth in range(1, len(DAYS) + 1)]


def test_an_unknown_number_is_reported_with_the_jobs_numbers(log: Path) -> None:
    told = said(log, "--garment", f"{SOUTH}-0/77", code=1)
    numbers = sorted(PLAIN, key=int)
    assert told.strip().endswith(f"with the number or line 77; it has: {', '.join(numbers)}")


@pytest.mark.parametrize("way", ["shared/jobs/{}", "shared/jobs/{}/", "./{}/job.yaml"])
def test_a_job_can_be_named_by_its_folder_or_file(log: Path, way: str) -> None:
    """README: a job is its folder, its job.yaml or its name; a shell completes the first."""
    job = way.format(f"{SOUTH}-0")
    (sheet,) = told(log, "--order", job)
    assert sheet["line"] == "All done: 8 garments good or accepted."
    (card,) = told(log, "--garment", f"{job.rstrip('/')}/44")
    assert "number 44 (line 2" in card["title"]


def test_a_closing_sheet_lists_every_garment_and_says_all_done(log: Path, tmp_path: Path) -> None:
    page = tmp_path / "sheet.html"
    (sheet,) = told(log, "--order", f"{SOUTH}-0", "--html", str(page))
    assert sheet["line"] == "All done: 8 garments good or accepted."
    assert [row["line"] for row in sheet["sheet_garments"]] == [str(n) for n in range(1, 9)]
    assert [row["number"] for row in sheet["sheet_garments"]] == list(PLAIN)
    assert sheet["sheet_sizes"][-1] | {"counted": "", "packed": ""} == {
        "size": "all", "ordered": "8", "good": "7", "accepted": "1", "rework": "0", "open": "0",
        "counted": "", "packed": "",
    }  # fmt: skip
    html = page.read_text("utf-8")
    assert html.count("☐") == 8
    printed = html[html.index("@media print") : html.index("</style>")]
    assert "#sheet_sizes td { height: 8mm;" in printed  # a row that a hand can write in


def test_an_unfinished_orders_closing_sheet_says_so_first(log: Path) -> None:
    (sheet,) = told(log, "--order", f"{SOUTH}-8")
    assert sheet["line"] == "NOT all done: 3 of 8 garments are not finished."


def test_a_job_that_is_due_is_behind(log: Path) -> None:
    answer = told(log)["answers"]["behind"]
    assert answer.startswith("Winter jackets: due 2026-02-10, 3 of 8 still to finish.")
    earlier = told(log, "--to", "2026-02-09")
    assert "due" not in earlier["answers"]["behind"]


def test_this_week_is_compared_with_last_week(log: Path) -> None:
    week = told(log, "--from", "2026-02-09", "--to", "2026-02-15")
    assert len(week["shifts"]) == 2
    assert week["operators"] == ["MK"]
    changed = week["answers"]["changed"]
    assert changed.startswith("Compared with 2026-02-02 – 2026-02-08:")
    assert "At the press this time but not last time: MK" in changed


def test_a_returning_operator_is_not_called_new(tmp_path: Path) -> None:
    """ZD works on Monday and returns on Wednesday; on Tuesday it was MK."""
    path = tmp_path / "south.sqlite3"
    press = Press(path)
    for day, who in enumerate(("ZD", "MK", "ZD")):
        press.day(Story(SOUTH, "Winter jackets", who, PLAIN[:2], day))
    press.recorder.close()
    changed = told(path)["answers"]["changed"]
    assert "At the press this time but not last time: ZD" in changed
    assert "new" not in changed.lower()


def test_from_alone_runs_to_the_last_day_and_to_alone_from_the_first(log: Path) -> None:
    assert len(told(log, "--from", "2026-02-03")["shifts"]) == 3
    assert len(told(log, "--to", "2026-02-03")["shifts"]) == 2
    said(log, "--from", "2026-05-01", code=1)
    with pytest.raises(SystemExit):
        said(log, "--from", "May")


def test_a_closing_sheet_lists_sizes_from_small_to_large() -> None:
    sizes = ("YM", "AL", "A2X", "YS", "AS", "AXL", "YXL")
    order = [replace(ticket(str(n)), size=size) for n, size in enumerate(sizes, 1)]
    table = closing_sheet(JobStart(plan()), [order], str).topics[0].section.table
    assert table is not None
    counted = [str(row[0]) for row in table.rows]
    assert counted[:-1] == ["YS", "YM", "YXL", "AS", "AL", "AXL", "A2X"]


def test_an_order_that_may_go_on_at_other_presses_is_not_called_done() -> None:
    of = JobStart(plan())
    assert closing_sheet(of, (), str).line.id == "sheet.done"
    assert closing_sheet(of, (), str, ended=False).line.id == "sheet.goes_on"


@pytest.mark.parametrize(
    ("job", "piece", "where"),
    [
        (NORTH, "number.2", "marks (back; number, layer 2)"),
        (NORTH, "", "marks (back)"),
        (SOUTH, "number.1", "marks (back, number)"),
    ],
)
def test_a_card_names_the_piece_with_the_defect(
    tmp_path: Path, job: str, piece: str, where: str
) -> None:
    path = tmp_path / "one.sqlite3"
    press = Press(path)
    found = bad(TicketStage.ACCEPTED, "marks", "over_run", piece)
    press.day(Story(job, "A team", "ZD", PLAIN, results={1: found}, made=1))
    press.recorder.close()
    (card,) = told(path, "--garment", f"{job}-0/23")
    assert f"defects: {where};" in card["record"][0]


def test_a_card_names_the_element_of_the_pass_with_the_defect() -> None:
    whole = plan()
    name = Piece("name.1", "name", 1, 1, "film", "black", "back")
    second = replace(whole.passes[0], group=1, steps=(step(Phase.FINAL, "name.1", seconds=12),))
    twice = replace(whole, passes=(*whole.passes, second), pieces=(*whole.pieces, name))
    tickets = (ticket(defect="marks"), ticket(passage=1, defect="scorch"))
    shown = card(
        [StationRecord("", Garment("1", JobStart(twice), tickets, (), ()))], lambda wall: "08:00"
    )
    said = Words("en").say(shown.record[0])
    assert "marks (back, number); scorch (back, name)" in said


def test_warnings_accepted_at_the_start_are_on_an_orders_cards() -> None:
    """With a scorched garment in hand, the question is the margin to the fabric's limit."""
    (panel, *more) = plan().settings
    bare = replace(panel, warnings=("no_fabric_margin",))
    begun = JobStart(replace(plan(), settings=(bare, *more)), accepted_questions=2)
    at_two = [
        StationRecord(name, Garment("1", begun, (ticket(),), (), ())) for name in ("north", "south")
    ]
    shown = card(at_two, lambda wall: "08:00")
    (table,) = (t.section.table for t in shown.topics if t.section.id == "card_rulings")
    assert table is not None
    assert [[cell_text(cell, Words("en").say) for cell in row] for row in table.rows] == [
        ["job started with open questions", "–", "2 questions"],
        ["job started with no margin to the fabric's limit", "–", "no reason given"],
    ]


class Misread(Press):
    """Each press shows more than required before its first garment."""

    off = 20

    def _set(self) -> None:
        job = self.state.job
        asked = None if job is None else required_setting(job)
        if self.off and asked is not None:
            self.do(c.ReadSetting(asked + self.off), 10.0)
        self.off = 0
        super()._set()


def test_a_wrong_setting_is_reported_with_the_press_and_its_scale(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite3"
    press = Misread(path)
    press.day(Story(SOUTH, "Winter jackets", "ZD", PLAIN, made=1))
    press.off = 20
    press.day(Story("swim-school", "Course shirts", "ZD", PLAIN, made=1, press="grebe"))
    press.recorder.close()
    told = said(path, "--shift", "all")
    for name, scale in (("heron", "F"), ("grebe", "C")):
        found = re.search(rf"{name} showed (\d+) °{scale} instead of (\d+) °{scale} \(1×\)", told)
        assert found is not None, told
        assert int(found[1]) - int(found[2]) == 20


def test_a_press_whose_setting_was_never_read_is_not_called_right(tmp_path: Path) -> None:
    """A shift may continue with the setting that the previous shift read."""
    path = tmp_path / "shop.sqlite3"
    with Store.open(path) as store:
        recorder = Recorder(store)
        for command in (c.Start("week"), c.SignOn("ZD", ConfirmMode.GROUPED)):
            recorder.do(command, Now("boot", 10.0, 1_770_019_200.0))
    told = said(path)
    assert "Nobody read what the press showed" in told
    assert "always read at its setting" not in told


class TwoHands(Press):
    """ZD lays and presses each garment; MK takes over and records its defects."""

    def _takes_over(self, who: str) -> bool:
        if self.state.operator == who:
            return False
        self.do(c.HandOver(who), 5.0)
        self.do(c.SignOn(who, ConfirmMode.GROUPED), 5.0)
        return True

    def _press(self, name: str) -> None:
        if not self._takes_over("ZD"):
            super()._press(name)

    def _peel(self, name: str) -> None:
        if not self._takes_over("MK"):
            super()._peel(name)


def test_an_operator_is_not_blamed_for_pieces_another_has_laid(tmp_path: Path) -> None:
    path = tmp_path / "south.sqlite3"
    wrong = c.Inspect("", TicketStage.ACCEPTED, "off_centre", "laid_wrong")
    press = TwoHands(path)
    numbers = tuple(str(n) for n in range(20, 50))
    results = dict.fromkeys(range(1, len(numbers) + 1), wrong)
    press.day(Story(SOUTH, "Winter jackets", "ZD", numbers, results=results))
    press.recorder.close()
    answers = told(path, "--shift", "all")["answers"]
    assert "off centre: 30 of 30" in answers["failed"]
    assert answers["help"] == "Nobody stands out (MK, ZD)."
