"""Customers' files for `kiosk order`, and the answers to all questions about them."""

from __future__ import annotations

import re
import sys
from contextlib import chdir
from pathlib import Path

from command_line import Said, kiosk_here
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


def order(shop: Path, file: str, *more: str) -> Said:
    with chdir(shop):
        return kiosk_here("order", f"shared/inbox/{file}", *WHAT, *more)


def asked_ids(said: Said) -> list[tuple[str, str]]:
    """Return each question's id with the line above it that shows the cell."""
    lines = said.out.splitlines()
    return [(each[:-1], lines[n - 2]) for n, each in enumerate(lines) if re.match(r"\d.*:$", each)]


def answered(asked: list[tuple[str, str]], answers: Answered) -> str:
    """Return the text of an answers file for these questions; an unexpected question fails."""
    made = []
    for name, told in asked:
        row, key, cause, _ = re.sub(r"-\d+", "", name).split(".")
        heading = re.search(r'"(.*)"$', told)
        if cause == "unknown_column":
            assert heading is not None
            cause = f"unknown_column:{heading[1]}"
        made.append(f"{name}: {answers[int(row), '' if key == 'file' else key, cause]}\n")
    return "".join(made)


def settled(shop: Path, file: str = "divers.csv") -> Path:
    """Answer every question about a file; return the path of the answers file."""
    given, text = shop / "A.yaml", "# nothing yet\n"
    for _ in range(4):
        given.write_text(text, "utf-8")
        with chdir(shop):
            said = kiosk_here(
                "order", f"shared/inbox/{file}", "--recipe", "one", "--fabric", "knit",
                "--press", "no-such-press", "--answers", str(given), "--names",
            )  # fmt: skip
        text += answered(asked_ids(said), FILES[file][0])
    return given


def jobs(shop: Path) -> list[str]:
    return sorted(path.name for path in (shop / "shared" / "jobs").glob("*"))
