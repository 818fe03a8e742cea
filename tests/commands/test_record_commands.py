"""`kiosk simulate`, `kiosk log` and `kiosk report`, on a real log."""

from __future__ import annotations

import csv
import json
import os
import re
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import ROOT, Result, kiosk, process
from shop_folders import NAMES, write_shop

from kiosk.log.store import Store


@pytest.fixture
def shift(tmp_path: Path) -> tuple[str, ...]:
    """Simulate a job of three garments; return the options that name its log."""
    job, *recipes = write_shop(tmp_path)
    log = ("--log", str(tmp_path / "log.sqlite3"), *recipes)
    result = kiosk("simulate", job, *log)
    assert result.code == 0
    assert "3 garments made" in result.out
    return log


def test_a_simulation_prints_the_command_that_reads_its_record(tmp_path: Path) -> None:
    """Without the option, `kiosk report` reads the station's own record."""
    job, *recipes = write_shop(tmp_path)
    result = kiosk("simulate", job, "--log", str(tmp_path / "log.sqlite3"), *recipes)
    command = result.out.rpartition("kiosk ")[2].split()
    assert command[0] == "report"
    assert "simulated" in kiosk(*command, *recipes).out.splitlines()[0]


def test_the_first_event_of_a_simulation_is_marked_as_simulated(shift: tuple[str, ...]) -> None:
    first = json.loads(kiosk("log", "--json", *shift).out.splitlines()[0])
    assert (first["seq"], first["kind"], first["simulated"]) == (1, "station-started", True)


@pytest.mark.parametrize(
    "row", ["1,AL,BORISOV,Liskova", "1,Liskova,BORISOV,31", "Liskova,AL,BORISOV,31"]
)
def test_a_name_in_another_column_never_reaches_a_record(tmp_path: Path, row: str) -> None:
    job, *recipes = write_shop(tmp_path, roster=f"line,size,name,number\n{row}\n2,YM,OKORO,13\n")
    log = tmp_path / "log.sqlite3"
    result = kiosk("simulate", job, "--log", str(log), *recipes)
    kept = [path.read_bytes() for path in tmp_path.glob("log.sqlite3*")]  # with its WAL
    assert not [each for each in kept if b"Liskova" in each]
    assert (result.code, result.out) == (1, "")
    assert result.err == kiosk("check", job, *recipes).err  # the same question, and its exit code
    assert "Liskova" in result.err


def test_an_odd_number_and_an_open_size_still_simulate(tmp_path: Path) -> None:
    """A letter beside a number is no name, nor is a size that might be another one."""
    roster = "line,size,name,number\nG1,AL,BORISOV,7A\nG2,152,OKORO,00\n"
    job, *recipes = write_shop(tmp_path, roster=roster)
    log = tmp_path / "log.sqlite3"
    assert kiosk("simulate", job, "--log", str(log), *recipes).code == 0
    assert kiosk("check", job, *recipes).code == 1


def test_the_log_is_printed_in_order_one_line_per_event(shift: tuple[str, ...]) -> None:
    records = [json.loads(line) for line in kiosk("log", "--json", *shift).out.splitlines()]
    assert [r["seq"] for r in records] == list(range(1, len(records) + 1))
    assert len(kiosk("log", *shift).out.splitlines()) == len(records)


def test_tail_prints_the_last_events(shift: tuple[str, ...]) -> None:
    whole = kiosk("log", *shift).out.splitlines()
    assert kiosk("log", "--tail", "3", *shift).out.splitlines() == whole[-3:]
    assert kiosk("log", "--tail", "0", *shift).out == ""
    assert kiosk("log", "--tail", "100000", *shift).out.splitlines() == whole


def test_backup_and_export_hold_every_event(shift: tuple[str, ...], tmp_path: Path) -> None:
    lines = kiosk("log", "--json", *shift).out
    copy, export = tmp_path / "copy.sqlite3", tmp_path / "events.jsonl"
    result = kiosk("log", "--backup", str(copy), *shift)
    assert (result.code, result.out.split()[0]) == (0, str(copy))
    assert kiosk("log", "--json", "--log", str(copy)).out == lines
    assert json.loads(kiosk("log", "--verify", "--log", str(copy)).out)["ok"]
    assert kiosk("log", "--backup", str(copy), *shift).code == 2  # it already exists
    assert kiosk("log", "--export", str(export), *shift).code == 0
    assert export.read_text("utf-8") == lines


def test_verify_prints_the_contracts_object(shift: tuple[str, ...]) -> None:
    count = len(kiosk("log", *shift).out.splitlines())
    result = kiosk("log", "--verify", *shift)
    assert result.code == 0
    verdict = json.loads(result.out)
    assert (verdict.pop("station")[:8], verdict.pop("head").split(":")[0]) == (
        "station-",
        str(count),
    )
    assert verdict == {"ok": True, "events": count, "last": count, "pressed_twice": 0, "bad": []}


def code_in(text: str) -> str:
    """Return the record code shown in a page, a line or an object."""
    found = re.search(r"\d+:[0-9a-f]{4}(-[0-9a-f]{4}){3}", text)
    assert found is not None, text
    return found[0]


def test_every_output_shows_the_record_code_that_verify_expects(
    shift: tuple[str, ...], tmp_path: Path
) -> None:
    page = tmp_path / "page.html"
    report = kiosk("report", "--html", str(page), *shift).out
    copy = kiosk("log", "--backup", str(tmp_path / "copy.sqlite3"), *shift).out
    verdict = json.loads(kiosk("log", "--verify", *shift).out)
    (record,) = json.loads(kiosk("report", "--json", *shift).out)["records"]
    assert (record["head"], record["id"]) == (verdict["head"], verdict["station"])
    codes = {code_in(report), code_in(copy), code_in(page.read_text("utf-8"))}
    (code,) = codes
    result = kiosk("log", "--verify", "--expect", code, "--expect", record["head"], *shift)
    assert (result.code, result.err) == (0, "")


def test_a_report_on_a_record_and_its_copy_says_so(shift: tuple[str, ...], tmp_path: Path) -> None:
    copy = tmp_path / "copied.sqlite3"
    kiosk("log", "--backup", str(copy), *shift)
    alone = kiosk("report", *shift).out
    assert "copies of one record" not in alone
    both = kiosk("report", "--log", str(copy), *shift).out
    assert "copied and log are copies of one record" in both.replace(", ", " and ")


@pytest.mark.parametrize("kind", ["closed", "signed-on", "job-started", "finished"])
def test_a_report_on_a_log_with_a_bad_event_says_what_is_missing(
    shift: tuple[str, ...], tmp_path: Path, kind: str
) -> None:
    connection = sqlite3.connect(shift[1])
    connection.executescript("DROP TRIGGER events_are_never_changed")
    ((seq,),) = connection.execute(
        "UPDATE events SET payload = '{' WHERE seq = (SELECT max(seq) FROM events WHERE kind = ?)"
        " RETURNING seq",
        [kind],
    ).fetchall()
    connection.commit()
    connection.close()
    page = tmp_path / "page.html"
    result = kiosk("report", "--html", str(page), "--csv", str(tmp_path / "rows.csv"), *shift)
    if kind == "signed-on":  # no shift start can be read
        assert result.code == 1
        assert "1 event of log" in result.err
        return
    assert (result.code, result.err) == (0, "")
    assert f"Event {seq} of log cannot be read" in result.out
    assert f"Event {seq} of log cannot be read" in page.read_text("utf-8")
    assert json.loads(kiosk("report", "--json", *shift).out)["records"][0]["lost"] == [seq]


def test_a_cut_off_tail_is_detected_with_a_printed_code(shift: tuple[str, ...]) -> None:
    code = code_in(kiosk("report", *shift).out)
    connection = sqlite3.connect(shift[1])
    connection.executescript(
        "DROP TRIGGER events_are_never_deleted; DELETE FROM checkpoint; DELETE FROM mark;"
        "DELETE FROM events WHERE seq > (SELECT max(seq) - 4 FROM events);"
    )
    connection.close()
    assert kiosk("log", "--verify", *shift).code == 0
    result = kiosk("log", "--verify", "--expect", code, *shift)
    assert result.code == 1
    assert "is gone" in result.err
    assert kiosk("log", "--verify", "--expect", "14 of May", *shift).code == 2


GOLDEN = sorted((ROOT / "tests" / "log" / "golden").glob("*.sqlite3"))


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda path: path.stem)
def test_an_older_programs_record_is_read_as_it_is(golden: Path, tmp_path: Path) -> None:
    """A supervisor with a copy at the office has no station to start on it."""
    copy, updated = tmp_path / "north.sqlite3", tmp_path / "updated" / "north.sqlite3"
    updated.parent.mkdir()
    for path in (copy, updated):
        shutil.copy(golden, path)
    Store.open(updated, simulated=True).close()
    older, now = ("--log", str(copy)), ("--log", str(updated))
    verified = kiosk("log", "--verify", *older)
    assert (verified.code, "temporary copy" in verified.err) == (0, True)
    verdict, known = json.loads(verified.out), json.loads(kiosk("log", "--verify", *now).out)
    assert (verdict["station"], verdict["head"]) == ("", "")  # no id: no code can prove it
    assert {**verdict, "station": "", "head": ""} == {**known, "station": "", "head": ""}
    assert kiosk("log", "--json", *older).out == kiosk("log", "--json", *now).out
    report = kiosk("report", *older)
    assert (report.code, "Record code" in report.out) == (0, False)
    lines = kiosk("report", *now).out.splitlines()
    assert report.out.splitlines() == [each for each in lines if "Record code" not in each]
    assert kiosk("log", "--export", str(tmp_path / "events"), *older).code == 0
    assert copy.read_bytes() == golden.read_bytes()


def test_a_command_that_needs_a_newer_record_says_what_to_do(tmp_path: Path) -> None:
    older = shutil.copy(GOLDEN[0], tmp_path)
    for command in (("log", "--backup", str(tmp_path / "copy"), "--log"), ("ship",)):
        result = kiosk(*command, str(older))
        assert (result.code, result.out) == (1, "")
        assert "Start the station of this program on it once" in result.err
        assert "Reports and the log's commands read it before that" in result.err


def test_verify_of_a_damaged_log_exits_with_1_and_reports_why(shift: tuple[str, ...]) -> None:
    connection = sqlite3.connect(shift[1])
    connection.executescript(
        "DROP TRIGGER events_are_never_changed; UPDATE events SET payload = '{}' WHERE seq = 5;"
    )
    connection.close()
    result = kiosk("log", "--verify", *shift)
    assert result.code == 1
    assert json.loads(result.out)["ok"] is False
    assert result.err != ""


@pytest.mark.parametrize("command", ["log", "report"])
def test_a_missing_log_exits_with_1_and_a_message(tmp_path: Path, command: str) -> None:
    result = kiosk(command, "--log", str(tmp_path / "none.sqlite3"))
    assert result.code == 1
    assert result.err.startswith("There is no record at")
    assert not (tmp_path / "none.sqlite3").exists()


def test_acks_are_the_event_numbers_and_nothing_else(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path)
    log = ("--log", str(tmp_path / "log.sqlite3"), *recipes)
    acks = kiosk("simulate", job, "--acks", *log).out.splitlines()
    events = len(kiosk("log", *log).out.splitlines())
    assert acks == [str(n) for n in range(1, events + 1)]


def test_events_acknowledged_before_a_kill_are_in_the_log(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path)
    log = ("--log", str(tmp_path / "log.sqlite3"), *recipes)
    simulation = subprocess.Popen(
        [sys.executable, "-m", "kiosk", "simulate", job, "--acks", *log],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert simulation.stdout is not None
    acked = [simulation.stdout.readline() for _ in range(12)]
    simulation.kill()
    simulation.stdout.close()
    simulation.wait()
    verdict = json.loads(kiosk("log", "--verify", *log).out)
    assert verdict["ok"] is True
    assert verdict["events"] >= int(acked[-1])
    assert kiosk("simulate", job, *log).code == 0
    assert json.loads(kiosk("log", "--verify", *log).out)["pressed_twice"] == 0


def test_a_simulation_continues_where_the_log_ended(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path)
    log = ("--log", str(tmp_path / "log.sqlite3"), *recipes)
    assert "1 garment made" in kiosk("simulate", job, "--garments", "1", *log).out
    assert "2 garments made" in kiosk("simulate", job, *log).out


def test_a_simulation_of_another_job_first_peels_what_the_last_one_left_hot(tmp_path: Path) -> None:
    """Name hot, number cold: two garments wait as the shift ends, the later one at the press."""
    log = ("--log", str(tmp_path / "log.sqlite3"))
    for job in ("ferry-relay", "raft-polo", "ferry-relay"):
        result = kiosk("simulate", job, "--garments", "2", *log)
        assert (result.code, result.err) == (0, "")
    assert json.loads(kiosk("log", "--verify", *log).out)["ok"]


def test_the_same_seed_makes_the_same_shift(tmp_path: Path) -> None:
    job, *recipes = write_shop(tmp_path)
    logs = []
    for name, seed in (("a", "7"), ("b", "7"), ("c", "8")):
        log = ("--log", str(tmp_path / name), *recipes)
        kiosk("simulate", job, "--seed", seed, *log)
        logs.append(kiosk("log", *log).out)
    assert logs[0] == logs[1] != logs[2]


def test_a_record_whose_path_is_no_utf_8_can_be_read_and_reported(tmp_path: Path) -> None:
    """Other systems' folders keep names in other letters: bytes that are no text here."""
    job, *recipes = write_shop(tmp_path)
    odd = os.fsdecode(b"m\xe4rz")
    log = ("--log", str(tmp_path / f"{odd}.sqlite3"), *recipes)
    files = [str(tmp_path / f"{odd}.{kind}") for kind in ("csv", "tables.csv", "html")]
    assert run_strict("simulate", job, *log).code == 0
    for options in (
        ("report", "--csv", files[0], "--tables", files[1], "--html", files[2]),
        ("report", "--json"),
        ("log", "--verify"),
    ):
        result = run_strict(*options, *log)
        assert (result.code, result.err) == (0, "")
    for options in (("--garment", f"{odd}/7"), ("--order", odd)):
        result = run_strict("report", *options, *log)
        assert (result.code, result.err.count("\n")) == (1, 1)


def run_strict(*arguments: str) -> Result:
    """Run a command where the output takes nothing but UTF-8, as in most languages."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONIOENCODING", "utf-8:strict")
        return process(*arguments)


def test_a_station_refuses_a_simulations_log(
    shift: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", "offscreen")  # even without a screen
    result = kiosk("run", *shift)
    assert result.code == 1
    assert "simulation" in result.err


def test_a_job_that_cannot_be_pressed_is_not_simulated(tmp_path: Path) -> None:
    from shop_folders import KNIT

    cool = {"knit": {**KNIT, "temperature_max": "200 F"}}
    job, *recipes = write_shop(tmp_path, fabrics=cool)
    result = kiosk("simulate", job, *recipes, "--log", str(tmp_path / "log.sqlite3"))
    assert result.code == 3
    assert "fabric.temperature_max=200 F" in result.out


def reported(shift: tuple[str, ...]) -> dict[str, object]:
    found: dict[str, object] = json.loads(kiosk("report", "--json", *shift).out)
    return found


def test_a_report_accounts_for_every_ordered_garment(shift: tuple[str, ...]) -> None:
    report = reported(shift)
    parts = ("good", "accepted", "rework", "open", "other_shifts")
    assert report["ordered"] == 3 == sum(int(str(report[part])) for part in parts)
    assert report["jobs"] == ["ferry"]


def test_a_rate_of_too_few_garments_is_not_shown(shift: tuple[str, ...]) -> None:
    assert reported(shift)["first_pass"]["rate"] is None  # type: ignore[index]  # JSON
    assert "%" not in kiosk("report", *shift).out


def test_the_csv_has_a_row_per_garment(shift: tuple[str, ...], tmp_path: Path) -> None:
    path = tmp_path / "garments.csv"
    assert kiosk("report", "--csv", str(path), *shift).code == 0
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert {(row["line"], row["number"]) for row in rows} == {("1", "31"), ("2", "13"), ("3", "00")}


def test_the_page_is_complete(shift: tuple[str, ...], tmp_path: Path) -> None:
    path = tmp_path / "shift.html"
    assert kiosk("report", "--html", str(path), *shift).code == 0
    page = path.read_text("utf-8")
    assert "Shift 1, simulated" in page
    assert page.rstrip().endswith("</html>")


def test_an_unwritable_file_exits_with_1_and_a_message(
    shift: tuple[str, ...], tmp_path: Path
) -> None:
    result = kiosk("report", "--csv", str(tmp_path / "no" / "folder.csv"), *shift)
    assert result.code == 1
    assert "cannot be written" in result.err


def test_a_shift_can_be_selected_by_number(shift: tuple[str, ...]) -> None:
    assert kiosk("report", "--shift", "1", *shift).out == kiosk("report", *shift).out
    wrong = kiosk("report", "--shift", "7", *shift)
    assert wrong.code == 1
    assert "no shift 7" in wrong.err


def test_days_without_a_shift_are_reported_with_the_records_days(shift: tuple[str, ...]) -> None:
    assert kiosk("report", "--from", "0001-01-01", *shift).code == 0  # no days before those
    wrong = kiosk("report", "--from", "2031-01-02", "--to", "2031-01-09", *shift)
    assert wrong.code == 1
    assert "No shift began on 2031-01-02 – 2031-01-09; the record's began on 2026-" in wrong.err
    assert " – " not in wrong.err.partition(";")[2]  # a single day is not shown as a range
    late = kiosk("report", "--from", "2031-01-02", *shift)
    assert late.err.startswith("No shift began on 2031-01-02 or later;")
    early = kiosk("report", "--to", "2001-01-02", *shift)
    assert early.err.startswith("No shift began on 2001-01-02 or earlier;")


def test_days_the_wrong_way_round_are_wrong_usage(shift: tuple[str, ...]) -> None:
    result = kiosk("report", *shift, "--from", "2026-02-05", "--to", "2026-02-01")
    assert (result.code, result.out) == (2, "")
    assert result.err == "--from 2026-02-05 is later than --to 2026-02-01\n"


def test_no_players_name_is_in_the_log_or_in_any_report(
    shift: tuple[str, ...], tmp_path: Path
) -> None:
    files = [tmp_path / "r.csv", tmp_path / "r.html"]
    outputs: list[Result] = [
        kiosk("log", *shift),
        kiosk("log", "--json", *shift),
        kiosk("report", *shift, "--csv", str(files[0]), "--html", str(files[1])),
        kiosk("report", "--json", *shift),
    ]
    texts = [out.out + out.err for out in outputs] + [f.read_text("utf-8") for f in files]
    texts.append(Path(shift[1]).read_bytes().decode("latin-1"))
    for name in NAMES:
        assert not any(name in text for text in texts)
