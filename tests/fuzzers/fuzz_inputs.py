"""Files that people and other programs write, changed at random: faults, never a traceback."""

from __future__ import annotations

import json
import shutil
import tempfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from random import Random
from time import process_time

from catalog_folders import JOBS, OF_EVERY_SHOP, RECIPES, TRIAL, is_one_line
from fuzz_pace import Pace

from kiosk.catalog.base.tree import leaves
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.roster.answers import of_whole_file
from kiosk.catalog.roster.forget import CannotForget, forget_names
from kiosk.station.desk.jobs.claims import holder
from kiosk.station.desk.shift.files import saved_values
from kiosk.station.desk.side_files import COST, PinFile
from kiosk.words import Words, fault_text

DEAR = 10.0  # maximum processor seconds for one input
WORDS = (Words("en"), Words("es"))
SNIPPETS = (
    b"", b"\n", b" ", b"\t", b":", b": ", b"- ", b"[", b"]", b"{", b"}", b",", b"&a ", b"*a",
    b"!!set ", b"'", b'"', b"|", b">", b"?", b"<<: ", b"---\n", b"null", b"~", b"yes", b"-0",
    b"1e999", b"NaN", b"300 F", b"9" * 400, b"\0", b"\x1b", b"\xff\xfe", b"\xef\xbb\xbf", b"@",
    b"{x}", b"[" * 5000, b'{"a":' * 5000, b"=1+1", b"\xc3\x28", "Ł\u0301\u202e".encode(),
)  # fmt: skip
ROSTER = "line,size,name,number\n1,AL,KOVA,31\n2,YM,OKORO,13\n3,AS,BRANNOCK,00\n"


def run(pace: Pace) -> None:
    """Change one file after another, `times` times."""
    folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
    catalog, _ = read_catalog(RECIPES)
    kinds: tuple[Callable[[Path, Random], str], ...] = (
        _yaml, _yaml, _leaves, _pin, _claim, _recipes_json,
        lambda place, dice: _csv(place, dice, catalog),
        lambda place, dice: _csv(place, dice, catalog),
        lambda place, dice: _xlsx(place, dice, catalog),
        lambda place, dice: _job(place, dice, catalog),
    )  # fmt: skip
    for dice in pace.cases():
        place = folder / "case"
        place.mkdir()
        pace.at = str(place)
        began = process_time()
        what = dice.choice(kinds)(place, dice)
        assert process_time() - began < DEAR, what
        shutil.rmtree(place)
    shutil.rmtree(folder)


def changed(content: bytes, dice: Random) -> bytes:
    """Return the bytes with some pieces replaced, repeated or cut."""
    for _ in range(dice.randint(1, 4)):
        at, size = dice.randrange(len(content) + 1), dice.choice((0, 0, 1, 2, 5, 20))
        put = dice.choice((dice.choice(SNIPPETS), dice.randbytes(dice.randint(1, 6))))
        if dice.random() < 0.15:
            put = content[at : at + dice.randint(1, 200)] * 2
        content = content[:at] + put + content[at + size :]
    return content


def _told(faults: object) -> None:
    for fault in faults:  # type: ignore[attr-defined]  # a tuple of faults
        for words in WORDS:
            assert is_one_line(fault_text(fault, words))


def _yaml(place: Path, dice: Random) -> str:
    shutil.copytree(TRIAL, place / "recipes")
    for name in OF_EVERY_SHOP:
        shutil.copy(RECIPES / name, place / "recipes")
    path = dice.choice(sorted((place / "recipes").glob("*.yaml")))
    path.write_bytes(changed(path.read_bytes(), dice))
    _told(read_catalog(place / "recipes")[1])
    return path.name


def _leaves(place: Path, dice: Random) -> str:
    path = dice.choice(sorted(RECIPES.glob("*.yaml")))
    leaves(changed(path.read_bytes(), dice).decode("utf-8", "replace"))
    return f"leaves of {path.name}"


def _looked(place: Path, catalog: Catalog) -> None:
    job, faults = read_job(place, catalog)
    if any(not fault.question for fault in faults):
        assert job is None
    elif job is None:  # other letters, another sheet or list may bring what the rows lack
        assert any(of_whole_file(fault.id) for fault in faults)
    _told(faults)
    try:
        forget_names(place)
    except CannotForget as problem:
        WORDS[0].say(problem.message)


def _a_job(place: Path, dice: Random) -> Path:
    job = dice.choice(sorted(path.parent for path in JOBS.glob("*/job.yaml")))
    return Path(shutil.copytree(job, place / "made-up"))


def _csv(place: Path, dice: Random, catalog: Catalog) -> str:
    job = _a_job(place, dice)
    path = next(each for each in job.iterdir() if each.suffix == ".csv")
    content = changed(path.read_bytes(), dice)
    if dice.random() < 0.2:
        content = content.decode("utf-8", "replace").encode(
            dice.choice(("utf-16", "cp1252")), "replace"
        )
    path.write_bytes(content)
    _looked(job, catalog)
    return "a roster"


def _job(place: Path, dice: Random, catalog: Catalog) -> str:
    job = _a_job(place, dice)
    path = job / "job.yaml"
    path.write_bytes(changed(path.read_bytes(), dice))
    _looked(job, catalog)
    return "a job.yaml"


def _xlsx(place: Path, dice: Random, catalog: Catalog) -> str:
    """Test a workbook with one of its parts changed, or its bytes as a whole."""
    from openpyxl import Workbook

    job = _a_job(place, dice)
    book = Workbook()
    for line in ROSTER.splitlines():
        book.active.append(line.split(","))
    book.save(job / "roster.xlsx")
    _spoil_workbook(job / "roster.xlsx", dice)
    path = job / "job.yaml"
    path.write_text(path.read_text("utf-8").replace("roster.csv", "roster.xlsx"), "utf-8")
    _looked(job, catalog)
    return "a workbook"


def _spoil_workbook(path: Path, dice: Random) -> None:
    if dice.random() < 0.3:
        path.write_bytes(changed(path.read_bytes(), dice))
        return
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    name = dice.choice(sorted(parts))
    parts[name] = changed(parts[name], dice)
    with zipfile.ZipFile(path, "w") as book:
        for name, content in parts.items():
            book.writestr(name, content)


def _pin(place: Path, dice: Random) -> str:
    absurd: tuple[object, ...] = (0, -1, 3, 2**14, 2**62, 10**30, 1e999, "x", None, [], True)
    record: dict[str, object] = {"salt": "00" * 16, "hash": "00" * 32, **COST}
    record[dice.choice(sorted(record))] = dice.choice(absurd)
    content = json.dumps(record).encode()
    path = place / "pin"
    path.write_bytes(changed(content, dice) if dice.random() < 0.5 else content)
    PinFile(path).check("2468")
    PinFile(path).is_broken()
    return "a PIN file"


def _claim(place: Path, dice: Random) -> str:
    content = json.dumps({"station": "a", "since": 1.0, "id": "x", "head": "1:0a0a-0a0a"}).encode()
    (place / ".claimed").write_bytes(changed(content, dice))
    held = holder(place)
    assert held is not None
    return "a claim"


def _recipes_json(place: Path, dice: Random) -> str:
    content = json.dumps({"digest": "d", "values": {"shop.yaml": {"a.b": "300 F"}}}).encode()
    path = place / "log.recipes.json"
    path.write_bytes(changed(content, dice))
    try:
        found = saved_values(path, "d")
    except ValueError:
        return "recipes.json, told"
    for values in (found or {}).values():
        assert all(isinstance(each, str) for each in values.values())
    return "recipes.json"
