"""Files beside the record and the jobs, broken in every way: a message, never a failed start."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from time import process_time

import pytest
from ruled_shop import JOB, shop, signed_on
from station_driver import PIN, Person
from station_harness import Bench

from kiosk.run.state.events_shift import PinTried
from kiosk.station.desk.jobs.claims import holder
from kiosk.station.desk.side_files import PinFile

DEAR = 10.0  # processor seconds that no side file may cost: a start takes about one
Spoil = Callable[[Path], object]


def text(content: str) -> Spoil:
    return lambda path: path.write_text(content, "utf-8")


def huge(path: Path) -> None:
    """Make a sparse file of four gigabytes that takes no room here."""
    with path.open("wb") as file:
        file.truncate(4_000_000_000)


def ring(path: Path) -> None:
    other = path.with_name(path.name + ".ring")
    other.symlink_to(path)
    path.symlink_to(other)


def pin_file(**cost: object) -> Spoil:
    return text(
        json.dumps({"salt": "00" * 16, "hash": "00" * 32, "n": 16384, "r": 8, "p": 1, **cost})
    )


FORMS: dict[str, Spoil] = {
    "nothing": text(""),
    "garbage": text("\x00\x1b[31m{"),
    "deep": text("[" * 200_000),
    "deep object": text('{"values":' * 50_000),
    "list": text("[1, 2]"),
    "long number": text('{"since": ' + "9" * 60_000 + "}"),
    "infinite": text('{"station": "x", "since": 1e999, "n": 1e999, "digest": "", "values": 1e999}'),
    "huge": huge,
    "folder": Path.mkdir,
    "pipe": os.mkfifo,
    "ring": ring,
    "leads nowhere": lambda path: path.symlink_to("nowhere"),
}


@pytest.fixture(scope="module")
def begun_once(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop whose operator signed on and began the job once."""
    place = tmp_path_factory.mktemp("shop")
    shop(place)
    person = signed_on(_bench, place)
    person.begin("Orsavel")
    person.close()
    return place


@pytest.fixture
def begun(begun_once: Path, tmp_path: Path) -> Path:
    """A copy of `begun_once`."""
    return shutil.copytree(begun_once, tmp_path, dirs_exist_ok=True)


def spoiled(path: Path, spoil: Spoil) -> None:
    path.unlink(missing_ok=True)
    spoil(path)


def kept(place: Path) -> Path:
    return next(place.glob("*.recipes.json"))


def started(bench: Bench, place: Path) -> Person:
    began = process_time()
    person = Person(bench, place)
    assert process_time() - began < DEAR
    return person


@pytest.mark.parametrize("form", FORMS)
def test_broken_recipe_notes_stop_no_start(bench: Bench, begun: Path, form: str) -> None:
    spoiled(kept(begun), FORMS[form])
    with (begun / "recipes" / "shop.yaml").open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    person = started(bench, begun)
    assert person.texts()
    person.close()


def test_notes_with_the_right_digest_and_a_wrong_form_are_reported(
    bench: Bench, begun: Path
) -> None:
    digest = json.loads(kept(begun).read_text("utf-8"))["digest"]
    wrong: tuple[object, ...] = ([1], {"shop.yaml": {"a": 1}}, {"shop.yaml": []}, "x")
    for values in wrong:
        kept(begun).write_text(json.dumps({"digest": digest, "values": values}), "utf-8")
        with (begun / "recipes" / "shop.yaml").open("a", encoding="utf-8") as file:
            file.write("# changed\n")
        person = started(bench, begun)
        assert "cannot be listed" in " ".join(person.texts().split())
        person.close()
        digest = json.loads(kept(begun).read_text("utf-8"))["digest"]


@pytest.mark.parametrize("form", FORMS)
def test_a_broken_claim_still_counts_as_a_claim(bench: Bench, begun: Path, form: str) -> None:
    folder = begun / "jobs" / JOB
    spoiled(folder / ".claimed", FORMS[form])
    began = process_time()
    held = holder(folder)
    assert held is not None
    assert held.station in {"?", "x"}
    started(bench, begun).close()
    assert process_time() - began < DEAR


ABSURD: dict[str, Spoil] = {
    **FORMS,
    "hours of processor": pin_file(p=2**24),
    "gigabytes": pin_file(n=2**24, r=1024),
    "no power of two": pin_file(n=16385),
    "cost 0": pin_file(n=0),
    "negative": pin_file(r=-8),
    "endless": pin_file(p=10**400),
    "not a number": pin_file(n="many"),
    "true": pin_file(n=True),
    "infinitely dear": pin_file(r=float("inf")),
    "no hash": pin_file(hash=7),
    "odd salt": pin_file(salt="0"),
}


@pytest.mark.parametrize("form", ABSURD)
def test_a_broken_pin_file_rejects_a_pin_at_once(tmp_path: Path, form: str) -> None:
    spoiled(tmp_path / "pin", ABSURD[form])
    file = PinFile(tmp_path / "pin")
    began = process_time()
    assert not file.check(PIN)
    assert file.is_broken()
    assert process_time() - began < 1.0


def test_a_pin_file_with_another_hashing_cost_works(tmp_path: Path) -> None:
    """The third vector of RFC 7914, section 12 (its first 32 bytes are what dklen=32 gives)."""
    record = {
        "salt": b"SodiumChloride".hex(),
        "hash": "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2",
        "n": 16384,
        "r": 8,
        "p": 1,
    }
    (tmp_path / "pin").write_text(json.dumps(record), "utf-8")
    file = PinFile(tmp_path / "pin")
    assert file.check("pleaseletmein")
    assert not file.is_broken()


def test_the_screen_says_what_to_do_about_a_broken_pin_file(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path)
    signed_on(bench, tmp_path).close()
    spoiled(tmp_path / "supervisor-pin", ABSURD["hours of processor"])
    person = started(bench, tmp_path)
    person.choose("Supervisor", *PIN, "Enter")
    assert "Delete the file supervisor-pin" in " ".join(person.texts().split())
    person.close()
    assert [e.right for e in person.events() if isinstance(e, PinTried)] == [False]


@pytest.mark.parametrize("form", [form for form in FORMS if form != "list"])
def test_stray_files_among_recipes_and_jobs_stop_no_start(
    bench: Bench, begun: Path, form: str
) -> None:
    for path in ("recipes/more.yaml", "jobs/more", f"jobs/{JOB}/more.csv", "jobs/other/job.yaml"):
        (begun / path).parent.mkdir(exist_ok=True)
        FORMS[form](begun / path)
    person = started(bench, begun)
    assert person.view.kind
    person.close()


def test_an_endlessly_growing_yaml_file_stops_no_start(bench: Bench, begun: Path) -> None:
    laughs = "a0: &a0 [x, x]\n" + "".join(
        f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]\n" for n in range(1, 60)
    )
    (begun / "recipes" / "sign-off.yaml").write_text(laughs, "utf-8")
    started(bench, begun).close()
