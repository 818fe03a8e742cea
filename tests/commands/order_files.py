"""Customers' files for `kiosk order`, and the answers to all questions about them."""

from __future__ import annotations

import re
import sys
from contextlib import chdir
from pathlib import Path

from command_line import Result, kiosk_here
from shop_folders import write_shop

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "catalog"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "log"))

from customer_files import (
    BOOK_ANSWERS,
    BOOK_LINES,
    CSV_ANSWERS,
    CSV_LINES,
    PASTE_ANSWERS,
    PASTE_LINES,
    Answered,
    write_all,
)

WHAT = ("--recipe", "one", "--fabric", "knit", "--press", "press-one")
FILES = {
    "divers.csv": (CSV_ANSWERS, CSV_LINES),
    "swim.xlsx": (BOOK_ANSWERS, BOOK_LINES),
    "mail.txt": (PASTE_ANSWERS, PASTE_LINES),
}


def write_orders(place: Path) -> Path:
    """Write a shop with customers' files in its inbox; return its folder."""
    write_shop(place)
    write_all(place / "shared" / "inbox")
    return place


def order(shop: Path, file: str, *more: str) -> Result:
    with chdir(shop):
        return kiosk_here("order", f"shared/inbox/{file}", *WHAT, *more)


def open_questions(result: Result) -> list[tuple[str, str]]:
    """Return each question's id with the line above it that shows the cell."""
    lines = result.out.splitlines()
    return [(each[:-1], lines[n - 2]) for n, each in enumerate(lines) if re.match(r"\d.*:$", each)]


def answers_text(questions: list[tuple[str, str]], answers: Answered) -> str:
    """Return the text of an answers file for these questions; an unexpected question fails."""
    lines = []
    for name, line in questions:
        row, key, cause, _ = re.sub(r"-\d+", "", name).split(".")
        heading = re.search(r'"(.*)"$', line)
        if cause == "unknown_column":
            assert heading is not None
            cause = f"unknown_column:{heading[1]}"
        lines.append(f"{name}: {answers[int(row), '' if key == 'file' else key, cause]}\n")
    return "".join(lines)


def answers_file_of(shop: Path, file: str = "divers.csv") -> Path:
    """Answer every question about a file; return the path of the answers file."""
    answers_file, text = shop / "A.yaml", "# nothing yet\n"
    for _ in range(4):
        answers_file.write_text(text, "utf-8")
        with chdir(shop):
            result = kiosk_here(
                "order", f"shared/inbox/{file}", "--recipe", "one", "--fabric", "knit",
                "--press", "no-such-press", "--answers", str(answers_file), "--names",
            )  # fmt: skip
        text += answers_text(open_questions(result), FILES[file][0])
    return answers_file


def jobs(shop: Path) -> list[str]:
    return sorted(path.name for path in (shop / "shared" / "jobs").glob("*"))
