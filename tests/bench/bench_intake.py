"""Processor time for many lines: a file to its proof, compared with reading it; check and plan."""

import csv
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from bench_shop import JOBS, PILE, RECIPES, ROOT

from kiosk.catalog.read import read_catalog
from kiosk.catalog.roster import Answer, begin
from kiosk.station.desk.jobs.order_reading import COLUMNS_RIGHT, read

SYLLABLES = ("KO", "VA", "RE", "LIN", "TAR", "MUN", "SOL", "BER", "DAN", "EK")


def _name(n: int) -> str:
    return "".join(SYLLABLES[n // 10**place % 10] for place in range(3))


def _file(folder: Path, lines: int) -> Path:
    path = folder / "order.csv"
    sizes = ("AM", "AL", "YM", "L", "AM", "AL", "YM", "AM", "AL", "YM")  # a bare L gives a question
    rows = (f"{_name(n)},{n % 100},{sizes[n % 10]},{n // 100}\n" for n in range(lines))
    path.write_text("name,number,size,set\n" + "".join(rows), "utf-8")
    return path


def intake(lines: int) -> tuple[float, float]:
    """Return the processor seconds from the file to its proof, and those of just reading it.

    A tenth of the lines leads to questions, which are answered.
    """
    catalog, _ = read_catalog(RECIPES)
    with tempfile.TemporaryDirectory() as place:
        file = _file(Path(place), lines)
        bare = time.process_time()
        with file.open(encoding="utf-8", newline="") as opened:
            assert len(list(csv.reader(opened))) == lines + 1
        bare = time.process_time() - bare
        began = time.process_time()
        draft = begin(file, Path(place) / "jobs", "Order", catalog)
        order = replace(draft.order(), recipe="two-layer-pair", fabric="deck-knit", press="heron")
        draft.save(order)
        draft.save_answers({COLUMNS_RIGHT: Answer(decision="keep")})
        known = read(draft, catalog)
        while known.status is not None and known.status.open:
            draft.answer(*((fault, Answer(text="AL")) for fault in known.status.open))
            known = read(draft, catalog)
        assert len(known.proof) == lines
        return time.process_time() - began, bare


COMMANDS = (("check",), ("plan", "--json", "--picks"))


def commands(lines: int) -> float:
    """Return the processor seconds of the slower of `kiosk check` and `kiosk plan --picks`."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / PILE
        shutil.copytree(ROOT / JOBS / PILE, folder)
        rows = (f"{_name(n)},{1 + n % 99},AM,set {n // 99}\n" for n in range(lines))
        (folder / "roster.csv").write_text("name,number,size,set\n" + "".join(rows), "utf-8")
        return max(_spent([*command, *_where(folder, command)]) for command in COMMANDS)


def _where(folder: Path, command: tuple[str, ...]) -> list[str]:
    page = [str(folder / "picks.html")] if "--picks" in command else []
    return [*page, str(folder), "--recipes", str(RECIPES)]


def _spent(command: list[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "kiosk", *command], cwd=ROOT, check=True,
                   capture_output=True)  # fmt: skip
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
