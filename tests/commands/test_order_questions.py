"""`kiosk order`: similar questions are asked once for all rows; unusable answers are reported."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from order_files import open_questions, order, write_orders

from kiosk.catalog.read import read_catalog, read_job


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return write_orders(tmp_path)


def test_a_doubtful_numbers_width_is_asked_about_only_after_its_answer(shop: Path) -> None:
    """It is wider than any back, but that matters only if the number is right as written."""
    file = shop / "shared" / "inbox" / "wide.csv"
    file.write_text("Size,Name,Number\nAL,KOVA,8888888\nAM,TERN,8\n", "utf-8")
    result = order(shop, "wide.csv")
    assert [name.split(".")[2] for name, _ in open_questions(result)] == ["many_digits"]
    answers_file = shop / "A.yaml"
    answers_file.write_text(f"{open_questions(result)[0][0]}: keep\n", "utf-8")
    result = order(shop, "wide.csv", "--answers", str(answers_file))
    assert [name.split(".")[2] for name, _ in open_questions(result)] == ["too_wide"]
    assert (
        "recipe: row 2, back: " in result.out
    )  # counted as in the sheet and in every other question


SAME = "Size,Name,Number\nS,KOVA,7.0\nM,TERN,8.0\nL,Fenn,9.0\nYM,ROSS,10.0\nM,BRAN,11.0\n"


def test_similar_questions_are_asked_and_answered_once(shop: Path) -> None:
    (shop / "shared" / "inbox" / "same.csv").write_text(SAME, "utf-8")
    result, answers_file = order(shop, "same.csv"), shop / "A.yaml"
    questions = dict(open_questions(result))
    assert [
        name for name in questions if name.startswith("all.")
    ] == []  # only one row has this pattern
    lines = result.out.splitlines()
    assert [each for each in lines if each.startswith("all.")] == [
        "all.number.decimals:", "all.size.bare_size:",
    ]  # fmt: skip
    assert "# Rows 2, 3, 4, 6, size: this order has youth sizes" in result.out
    assert "choice-1 (YS, YM, YL); choice-2 (AS, AM, AL); each" in result.out
    text = "all.size.bare_size: choice-2\nall.number.decimals: choice-1\n"
    (case,) = questions
    answers_file.write_text(f"{text}{case}: choice-1\n", "utf-8")
    assert order(shop, "same.csv", "--answers", str(answers_file)).code == 0
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(shop / "shared" / "jobs" / "same", catalog)
    assert faults == ()
    assert job is not None
    assert [(line.size, line.number) for line in job.roster] == [
        ("AS", "7"), ("AM", "8"), ("AL", "9"), ("YM", "10"), ("AM", "11"),
    ]  # fmt: skip


def test_consecutive_rows_are_shown_as_a_range(shop: Path) -> None:
    rows = "".join(f"AL,K{letter}VA,{n}.0\n" for n, letter in enumerate("ABCDEFGH", 1))
    text = f"Size,Name,Number\n{rows}AL,TERN,9\nAL,ROSS,10.0\n"
    (shop / "shared" / "inbox" / "run.csv").write_text(text, "utf-8")
    assert "# Rows 2–9, 11, number: " in order(shop, "run.csv").out


def test_similar_questions_can_be_split_by_row_and_one_answered_differently(shop: Path) -> None:
    (shop / "shared" / "inbox" / "same.csv").write_text(SAME, "utf-8")
    answers_file = shop / "A.yaml"
    answers_file.write_text("all.size.bare_size: each\nall.number.decimals: choice-1\n", "utf-8")
    questions = open_questions(order(shop, "same.csv", "--answers", str(answers_file)))
    sizes = [name for name, _ in questions if ".bare_size." in name]
    assert len(sizes) == 4
    answers_file.write_text(f"{sizes[0]}: YS\nall.size.bare_size: choice-2\n", "utf-8")
    result = order(shop, "same.csv", "--answers", str(answers_file))
    assert "bare_size" not in result.out


def test_an_answer_to_no_question_is_reported_but_no_fault(shop: Path) -> None:
    (shop / "shared" / "inbox" / "two.csv").write_text("Size,Name,Number\nAL,KOVA,7\n", "utf-8")
    answers_file = shop / "A.yaml"
    answers_file.write_text("4.size.bare_size.1a2b3c4d: YL\n", "utf-8")
    result = order(shop, "two.csv", "--answers", str(answers_file))
    assert result.code == 0
    line = "4.size.bare_size.1a2b3c4d: this was not asked; the answer was not used"
    assert result.err == f"{answers_file}: {line}\n"


def test_an_invalid_answer_is_reported_with_its_question(shop: Path) -> None:
    (shop / "shared" / "inbox" / "one.csv").write_text("Size,Name,Number\nHuge,KOVA,7\n", "utf-8")
    answers_file = shop / "A.yaml"
    ((name, _),) = open_questions(order(shop, "one.csv"))
    answers_file.write_text(f"{name}: keep\n", "utf-8")
    result = order(shop, "one.csv", "--answers", str(answers_file))
    assert (result.code, open_questions(result)[0][0]) == (1, name)
    assert "not one of its answers" in result.err


def test_answers_about_rows_are_not_called_unasked_while_the_encoding_is_open(shop: Path) -> None:
    data = "Size,Name,Number\nHuge,DVOŘÁK,7\n".encode("cp1250")
    (shop / "shared" / "inbox" / "cz.csv").write_bytes(data)
    answers_file = shop / "A.yaml"
    answers_file.write_text("2.size.size.1a2b3c4d: AL\n", "utf-8")
    result = order(shop, "cz.csv", "--answers", str(answers_file))
    assert [name.split(".")[2] for name, _ in open_questions(result)] == ["code_page"]
    assert result.err == ""


def test_the_time_for_questions_grows_linearly_with_the_rows(shop: Path) -> None:
    """Five times the rows take about five times as long; comparing all pairs would take 25."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    taken = []
    for count in (1_000, 5_000):
        names = ("".join(letters[n // 26**k % 26] for k in range(3)) for n in range(count))
        rows = "".join(f"AL,{name},#{n % 99}\n" for n, name in enumerate(names))
        (shop / "shared" / "inbox" / "long.csv").write_text(f"Size,Name,Number\n{rows}", "utf-8")
        begun = time.process_time()
        assert order(shop, "long.csv").code == 1
        taken.append(time.process_time() - begun)
    assert taken[1] < 9 * taken[0]


def test_the_answers_show_what_keep_and_empty_text_mean(shop: Path) -> None:
    text = "Size,Name,Number,Qty\nAL,KOVA,7,2\nAM,N/A,8,1\n"
    (shop / "shared" / "inbox" / "qty.csv").write_text(text, "utf-8")
    output = order(shop, "qty.csv", "--names").out
    assert 'answers: keep (one garment), "2", another quantity' in output
    assert 'answers: keep, "" (nothing), another name' in output


def test_with_names_each_question_shows_its_row_as_written(shop: Path) -> None:
    text = "Size,Name,Number\nAL,KOVA,7\nAM,SMITTE,\n,Thanks MARA,\n"
    (shop / "shared" / "inbox" / "rows.csv").write_text(text, "utf-8")
    output = order(shop, "rows.csv", "--names").out
    assert "# The row: AM, SMITTE" in output
    assert "# The row: Thanks MARA" in output
    bare = order(shop, "rows.csv").out
    assert "SMITTE" not in bare
    assert "MARA" not in bare


def test_a_file_that_cannot_be_an_order_is_refused_with_advice(shop: Path) -> None:
    inbox = shop / "shared" / "inbox"
    (inbox / "large.csv").write_bytes(b"Size,Name,Number\n" + b"AL,KOVA,7\n" * 300_000)
    (inbox / "old.xls").write_bytes(b"\xd0\xcf\x11\xe0")
    (inbox / "folder.csv").mkdir()
    results = {name: order(shop, name) for name in ("large.csv", "old.xls", "folder.csv")}
    assert {result.code for result in results.values()} == {1}
    assert "copy the list alone into a new file" in results["large.csv"].err
    assert "save the list as one of these" in results["old.xls"].err
    assert "a folder" in results["folder.csv"].err
