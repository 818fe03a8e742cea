"""`kiosk material`, `fabric`, `press`: a new entry by prompts, in a process and a terminal."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import ROOT, Result, kiosk
from shop_folders import write_shop

from kiosk.catalog.read import read_catalog

SHEET = [
    "1", "Film 7", "2026-03-01",  # the supplier's sheet, its title and date
    "300", "330F", "315 F", "12", "16", "", "",
    "medium", "firm", "y", "hot, 2", "8", "20", "", "", "required", "",
    "smooth", "fabric", "no", "", "n",
]  # fmt: skip
SILENCE = 30  # seconds without output: a prompt's wording has changed


def shop(tmp_path: Path) -> Path:
    write_shop(tmp_path)
    return tmp_path / "recipes"


def enter(recipes: Path, kind: str, name: str, *lines: str) -> Result:
    """Run the command in a process of its own with these lines as input."""
    done = subprocess.run(
        [sys.executable, "-m", "kiosk", kind, name, "--recipes", str(recipes)],
        cwd=ROOT, input="".join(f"{line}\n" for line in lines), capture_output=True, text=True,
        check=False,
    )  # fmt: skip
    return Result(done.returncode, done.stdout, done.stderr)


def test_a_film_can_be_entered_in_two_sessions_with_corrections(tmp_path: Path) -> None:
    recipes = shop(tmp_path)
    before = (recipes / "materials.yaml").read_text("utf-8")
    half = enter(recipes, "material", "Film 7", *SHEET[:4], "30 s", "200 F", "<", *SHEET[3:6])
    assert half.code == 1
    assert half.err.splitlines() == [
        '"s" is not a unit for this; allowed: F or C, as in 300 F or 149 C',
        'the low end may not be above the high end; found "300 F, 200 F"',
        "",
        'Your answers are kept. Go on with: kiosk material "Film 7"',
    ]
    assert (recipes / "materials.yaml").read_text("utf-8") == before
    rest = enter(recipes, "material", "Film 7", *SHEET[6:])
    assert (rest.code, rest.err) == (0, ""), rest
    assert "Going on with Film 7: 7 of" in rest.out
    assert "Usual temperature" not in rest.out
    catalog, faults = read_catalog(recipes)
    assert faults == ()
    film = catalog.materials["film-7"]
    assert (film.title, film.temperature.high.text) == ("Film 7", "330 F")
    assert (film.source.owner.title, film.source.of("surface").is_guess) == ("Film 7", False)
    assert film.source.of("total_heat").is_guess
    assert kiosk("check", str(recipes)).code == 0
    assert enter(recipes, "material", "film 7").err.startswith("film-7 is in materials.yaml")


def test_each_question_names_the_unit_of_a_bare_number(tmp_path: Path) -> None:
    """A person reading 150 off a Celsius sheet must see that a bare 150 is Fahrenheit here."""
    recipes = shop(tmp_path)
    result = enter(recipes, "press", "Dipper", "guess", "150 C", "3", "", "", "400 x 500 mm", "")
    assert (result.code, result.err) == (0, "")
    assert "Set to now (F, C; a number alone: F)" in result.out
    assert "How far off may it be? (F, C; a number alone: C)" in result.out
    assert "(in, mm; a number alone: in)" in result.out
    press = read_catalog(recipes)[0].presses["dipper"]
    assert (press.set_temperature.text, press.tolerance.text) == ("150 C", "3 C")
    sides = press.platen_width.text, press.platen_height.text
    assert sides == ("400 mm", "500 mm")


def test_an_impossible_press_temperature_suggests_the_other_scale(tmp_path: Path) -> None:
    recipes = shop(tmp_path)
    result = enter(recipes, "press", "Dipper", "guess", "284 C", "140 F", "284", *[""] * 15)
    assert result.code == 0, result
    assert result.err.splitlines() == [
        'hotter than any garment press goes; 284 F is 140 C; did you mean "284 F"?',
        'colder than anything is pressed; 140 C is 284 F; did you mean "140 C"?',
    ]  # limits: common practice, no source; 284 °F is 140 °C by the SI definitions
    assert read_catalog(recipes)[0].presses["dipper"].set_temperature.text == "284 F"


@pytest.mark.parametrize(("kind", "most"), [("material", 40), ("fabric", 20), ("press", 15)])
def test_an_entry_without_any_answers_is_all_guesses(kind: str, most: int, tmp_path: Path) -> None:
    recipes = shop(tmp_path)
    result = enter(recipes, kind, "Old one", *[""] * most)
    assert result.code == 0, result
    assert "Guesses are marked there" in result.out
    assert "3 a guess) [a guess]: " in result.out
    assert kiosk("check", str(recipes)).code == 0


def test_without_a_folder_or_a_valid_name_nothing_is_asked(tmp_path: Path) -> None:
    assert kiosk("material", "x", "--recipes", str(tmp_path / "none")).code == 1
    assert kiosk("press", "..", "--recipes", str(shop(tmp_path))).code == 2


def test_ctrl_c_in_a_terminal_keeps_the_answers_so_far(tmp_path: Path) -> None:
    recipes = shop(tmp_path)
    pid, terminal = pty.fork()
    if pid == 0:  # a shell's job in the foreground
        os.chdir(ROOT)
        command = [sys.executable, "-m", "kiosk", "fabric", "Net", "--recipes", str(recipes)]
        os.execv(sys.executable, command)
    shown = until(terminal, r"Where do the numbers come from\?.*: $")
    assert "Ctrl-C keeps the answers so far" in shown
    os.write(terminal, b"guess\n")
    until(terminal, r"Hottest it can take.*: $")
    os.write(terminal, b"150 C\n")
    until(terminal, r"Longest time.*: $")
    while "\nState:\tS" not in Path(f"/proc/{pid}/status").read_text("ascii"):
        pass  # the prompt is out but nothing is read yet: Python would miss the interrupt
    os.write(terminal, b"\x03")
    last = until(terminal, r"Go on with: kiosk fabric \"Net\"\s*$")
    _, status = os.waitpid(pid, 0)
    assert os.waitstatus_to_exitcode(status) == 128 + signal.SIGINT
    assert "Traceback" not in last
    assert [path.name for path in recipes.glob(".new*")] == [".new-fabric-net.json"]
    assert enter(recipes, "fabric", "Net", *[""] * 20).code == 0
    assert read_catalog(recipes)[0].fabrics["net"].temperature_max.text == "150 C"


def until(terminal: int, pattern: str) -> str:
    """Read from a terminal until the pattern matches; on silence, fail the test."""
    shown = ""
    while not re.search(pattern, shown, re.S):
        if not select.select([terminal], [], [], SILENCE)[0]:
            os.close(terminal)  # hangs up: the command ends
            pytest.fail(f"nothing like {pattern!r} in {SILENCE} s: {shown}")
        shown += os.read(terminal, 4096).decode().replace("\r", "")
    return shown


def test_the_prompts_are_in_the_shops_language(tmp_path: Path) -> None:
    recipes = shop(tmp_path)
    with (recipes / "shop.yaml").open("a", encoding="utf-8") as file:
        file.write("station: {language: es}\n")
    result = enter(recipes, "press", "Garza", "suposición", "300 F", "2,5", "sola", *[""] * 9)
    assert result.code == 0, result
    press = read_catalog(recipes)[0].presses["garza"]
    assert (press.tolerance.text, press.opens_itself) == ("2.5 F", True)
    assert "# la ficha no lo dice" in (recipes / "shop.yaml").read_text("utf-8")


def test_a_missing_accent_is_accepted_and_an_unknown_word_is_asked_again(tmp_path: Path) -> None:
    """Spanish for yes is "sí"; a typed "si" means it. An unknown word is never taken for no."""
    recipes = shop(tmp_path)
    with (recipes / "shop.yaml").open("a", encoding="utf-8") as file:
        file.write("station: {language: es}\n")
    another = ["quizás", "si", "315 F", "9", "11", ""]
    lines = ["la guía", "suposicion", "Película 9", "300", "330", "", "12", "16", "", *another]
    result = enter(recipes, "material", "pelicula-9", *lines, *[""] * 40)
    assert result.code == 0, result
    assert result.err.splitlines() == [
        'esta palabra no se conoce aquí; se encontró "la guía"',
        'esta palabra no se conoce aquí; se encontró "quizás"',
    ]
    film = read_catalog(recipes)[0].materials["pelicula-9"]
    assert [band.start.text for band in film.dwell] == ["300 F", "315 F"]


@pytest.mark.parametrize("name", ["film\nseven", os.fsdecode(b"film \xff"), "x" * 81])
def test_a_name_that_no_file_can_hold_is_refused_before_the_first_question(
    tmp_path: Path, name: str
) -> None:
    recipes = shop(tmp_path)
    before = sorted(recipes.iterdir())
    result = enter(recipes, "material", name, *[""] * 40)
    assert (result.code, result.out, result.err.count("\n")) == (2, "", 1)
    assert sorted(recipes.iterdir()) == before


def test_a_line_that_is_no_utf_8_is_asked_again(tmp_path: Path) -> None:
    """A terminal of another language's letters: é as one byte."""
    recipes = shop(tmp_path)
    done = subprocess.run(
        [sys.executable, "-m", "kiosk", "material", "Film 7", "--recipes", str(recipes)],
        cwd=ROOT, input=b"1\nD\xe9cor film\n", capture_output=True, check=False,
        env={**os.environ, "PYTHONIOENCODING": "utf-8:strict"},
    )  # fmt: skip
    assert done.returncode == 1
    assert "Traceback" not in done.stderr.decode()
    assert re.findall(r": (\d+)/", done.stdout.decode()) == ["3", "3"]
