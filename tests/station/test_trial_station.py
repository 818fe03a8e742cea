"""A setting based on guesses is tried at the station; the files then name the trial as source."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from contextlib import chdir, closing, redirect_stdout
from pathlib import Path

import pytest
from forks import Forks
from ruled_shop import JOB, at_the_setting, shop
from station_driver import LONG_SECONDS, PIN, ROOT, Foot, Person
from station_harness import Bench
from station_kills import TRIAL
from station_tree import texts, walk
from stored import Stored, stored_from
from trial_person import ASKED, PIECE, before_the_trial, findings, press_piece, to_the_findings

from kiosk.__main__ import main
from kiosk.catalog.model.source import SourceKind, Sources
from kiosk.catalog.read import read_catalog
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.event import Now
from kiosk.run.state.events import Closed
from kiosk.run.state.events_shift import Overridden, Overruled, TrialNoted
from kiosk.station.demo.hands import WALL
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.work.trial import Trial
from kiosk.station.glass.devices import PRESS_CLOSED, PRESS_OPENED
from kiosk.station.glass.widgets.figures import AsWorn
from kiosk.station.glass.widgets.lay_drawing import LayDrawing
from kiosk.station.glass.widgets.marks import Numeral


def sources(place: Path) -> dict[str, Sources]:
    """Return the sources of all that the job is pressed with, from the shop's current files."""
    catalog, faults = read_catalog(place / "recipes")
    assert faults == ()
    told = json.loads(planned(place))
    names = {p for panel in told["panels"] for c in panel["closings"] for p in c["elements"]}
    assert names
    job = (place / "jobs" / JOB / "job.yaml").read_text("utf-8")
    fabric = next(line.split(": ")[1] for line in job.splitlines() if line.startswith("fabric"))
    recipe = next(line.split(": ")[1] for line in job.splitlines() if line.startswith("recipe"))
    layers = {
        layer.material
        for panel in catalog.recipes[recipe].panels
        for element in panel.elements
        for layer in element.layers
    }
    found = {key: catalog.materials[key].source for key in layers}
    return {**found, fabric: catalog.fabrics[fabric].source}


def planned(place: Path, *more: str) -> str:
    asked = ("plan", str(place / "jobs" / JOB), "--recipes", str(place / "recipes"))
    return kiosk(*asked, *(more or ("--json",)))


def checked(place: Path) -> str:
    return kiosk("check", str(place / "recipes"))


def kiosk(*asked: str) -> str:
    """Return the output of a command that succeeds."""
    out = io.StringIO()
    with chdir(ROOT), redirect_stdout(out):
        assert main(asked) == 0
    return out.getvalue()


def is_tried(found: Sources) -> bool:
    return found.owner.kind is SourceKind.SHOP_TRIAL


@pytest.fixture(scope="module")
def waits(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Stored:
    """A shop whose job waits for a trial, with the press set."""
    _bench.resize(1280, 800)
    return stored_from(before_the_trial(_bench, tmp_path_factory.mktemp("shop")))


@pytest.mark.parametrize("by", [Person, Foot], ids=["fingers", "pedal"])
def test_the_trials_first_page_loads_a_piece_of_cloth_and_shows_no_number(
    by: type[Person], bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path, by=by)
    person.choose(PIECE)
    number = person.station.desk.of(Trial).rehearsal.view(person.now()).number  # type: ignore[union-attr]
    shown = [each.text for each in texts(person.station)]
    assert "Load the piece of cloth" in shown
    assert not [each for each in shown if "collar" in each or "seam" in each]
    assert number
    numerals = [each for each in walk(person.station.live) if isinstance(each, Numeral)]
    assert not any(each.text for each in numerals)


@pytest.mark.parametrize("window", [(1280, 800), (1024, 600), (600, 1024), (800, 1280)])
def test_no_trial_page_names_a_garment_a_number_or_a_size(
    bench: Bench, tmp_path: Path, window: tuple[int, int], waits: Stored
) -> None:
    """The drawing shows which digits are laid; the cloth itself has no number and no size."""
    bench.resize(*window)
    person = waits.again(bench, tmp_path)
    person.choose(PIECE)
    trial = person.station.desk.of(Trial)
    assert trial.rehearsal is not None
    size = trial.rehearsal.view(person.now()).size
    number = trial.rehearsal.view(person.now()).number
    assert size
    seen: set[str] = set()

    def look() -> None:
        if person.station.desk.page is not PageKind.TRYING:
            return
        shown = person.station.live
        drawings = [each for each in walk(shown) if isinstance(each, LayDrawing)]
        seen.update({"a drawing"} if drawings else ())
        drawn = {id(each) for drawing in drawings for each in walk(drawing)}
        beside = [each for each in walk(shown) if id(each) not in drawn]
        numerals = {each.text for each in beside if isinstance(each, Numeral)} - {""}
        assert not numerals, person.view
        assert not any(isinstance(each, AsWorn) for each in beside)
        said = [each.text for each in texts(shown) if id(each) not in drawn]
        seen.update(said)
        for text in said:
            words = text.replace(",", " ").replace(":", " ").split()
            assert not {number, size} & set(words), text
            assert "garment" not in text, text

    press_piece(person, looked_at=look)
    assert any("cloth" in text.casefold() for text in seen)
    assert "a drawing" in seen
    person.close()


def test_the_last_look_at_the_cloth_offers_its_card_and_no_result_of_a_garment(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    """Scrap would open another piece and lose the finding: only the card judges the cloth."""
    person = waits.again(bench, tmp_path)
    person.choose(PIECE)
    seen: list[str] = []

    def look() -> None:
        seen.append(person.texts())

    press_piece(person, looked_at=look)
    assert "\nTRIAL" in seen[-1]
    for text in seen:
        assert not {"Rework", "Scrap", "Accept", "Good"} & set(text.split("\n"))
        assert "the last one" not in text
        assert "as the ticket" not in text
    assert "card: peel" in seen[-1].replace("\n", " ")
    assert {"It peeled clean"} & {each.label for each in person.buttons()}
    person.close()


@pytest.mark.parametrize("by", [Person, Foot], ids=["fingers", "pedal"])
def test_a_passed_trial_replaces_the_guess_in_the_files_and_the_plan(
    by: type[Person], bench: Bench, tmp_path: Path
) -> None:
    person = before_the_trial(bench, tmp_path, by)
    assert not any(is_tried(each) for each in sources(tmp_path).values())
    before = (tmp_path / "recipes" / "materials.yaml").read_text("utf-8")
    to_the_findings(person)
    assert "The trial passed" in person.texts()
    person.choose("Write it down as IK")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()
    (found,) = findings(person)
    assert (found.passed, found.by, found.faults, found.ticket) == (True, "IK", (), "")
    assert not any(isinstance(e, Closed) for e in person.events())  # no garment had any heat
    after = sources(tmp_path)
    assert all(is_tried(each) for each in after.values())
    assert {each.owner.initials for each in after.values()} == {"IK"}
    assert all(each.of("total_heat").is_guess for each in after.values())
    text = (tmp_path / "recipes" / "materials.yaml").read_text("utf-8")
    gone = [line for line in before.splitlines() if line not in text.splitlines()]
    assert gone in ([], ["  source: guess"])
    assert "shop trial" in planned(tmp_path, "--names")
    assert "by IK: " in checked(tmp_path)
    assert verify(person.log).ok


def test_the_next_job_with_the_same_setting_needs_no_trial(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path)
    to_the_findings(person)
    person.choose("Write it down as IK")
    person.close()
    again = tmp_path / "again"
    shop(again, ASKED)
    for name in ("materials.yaml", "fabrics.yaml"):
        (again / "recipes" / name).write_bytes((tmp_path / "recipes" / name).read_bytes())
    other = at_the_setting(bench, again)
    other.enter_setting()
    assert other.view.kind is not ScreenKind.TRIAL
    other.close()


def test_a_failed_trial_says_what_to_do_and_keeps_the_guess(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path)
    before = (tmp_path / "recipes" / "materials.yaml").read_bytes()
    to_the_findings(person, ("It peeled clean", "It lifts", "It springs back whole", "Marks"))
    assert "The trial failed" in person.texts()
    assert "own sheet" in person.texts()
    person.choose("back", "No marks", "Write it down as IK")
    assert person.view.kind is ScreenKind.TRIAL
    person.choose("let pass", *PIN, "Enter", "no probe here")
    assert person.answer().kind is ScreenKind.HANDS
    person.close()
    (found,) = findings(person)
    assert (found.passed, found.faults) == (False, ("lifted_edge",))
    assert (tmp_path / "recipes" / "materials.yaml").read_bytes() == before
    (word,) = [e for e in person.events() if isinstance(e, Overridden)]
    assert word.what is Overruled.TRIAL


def test_a_stopped_trial_is_still_due(bench: Bench, tmp_path: Path, waits: Stored) -> None:
    person = waits.again(bench, tmp_path)
    person.choose(PIECE)
    person.side(right=True)
    person.choose("Stop the trial")
    assert person.view.kind is ScreenKind.TRIAL
    assert PIECE in person.texts()
    person.close()
    assert findings(person) == []


def test_a_long_press_holds_the_trial_and_a_second_one_ends_it(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    foot = waits.again(bench, tmp_path, by=Foot)
    foot.choose(PIECE)
    bench.pass_time(1.0)
    assert isinstance(foot, Foot)
    foot.press_pedal(LONG_SECONDS)
    assert "On hold" in foot.texts()
    bench.pass_time(1.0)
    foot.press_pedal(LONG_SECONDS)
    assert foot.view.kind is ScreenKind.TRIAL
    foot.close()


def test_the_switch_counts_for_the_trial_and_for_no_garment(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path)
    person.choose(PIECE)
    bench.pass_time(1.0)
    before = len(person.events())
    for scancode in (PRESS_CLOSED, PRESS_OPENED):
        bench.key(scancode)
        bench.key(scancode, down=False)
        bench.pass_time(2.0)
    press = person.station.desk.of(Trial).rehearsal
    assert press is not None
    assert press.state.switch_seen
    assert person.station.shell.state.heat is None
    assert person.events()[before:] == ()
    person.close()


def test_a_broken_file_gets_the_finding_once_it_is_fixed(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path)
    to_the_findings(person)
    broken = {n: tmp_path / "recipes" / n for n in ("materials.yaml", "fabrics.yaml")}
    texts = {path: path.read_text("utf-8") for path in broken.values()}
    for path, text in texts.items():
        path.write_text(text + "\t: [", "utf-8")
    person.choose("Write it down as IK")
    assert "the file has faults" in person.texts()
    person.close()
    for path, text in texts.items():
        assert path.read_text("utf-8") == text + "\t: ["
        path.write_text(text, "utf-8")
    Person(bench, tmp_path).close()
    assert all(is_tried(each) for each in sources(tmp_path).values())


def test_a_required_trial_cannot_be_let_pass(bench: Bench, tmp_path: Path) -> None:
    shop(tmp_path, ("trial: no", "trial: required"))
    person = at_the_setting(bench, tmp_path)
    person.enter_setting()
    assert PIECE in person.texts()
    assert "let pass" not in person.texts()
    person.close()


def test_an_unwritable_file_is_reported_and_written_at_the_next_start(
    bench: Bench, tmp_path: Path, waits: Stored
) -> None:
    person = waits.again(bench, tmp_path)
    to_the_findings(person)
    folder = tmp_path / "recipes"
    for name in ("materials.yaml", "fabrics.yaml"):
        (folder / f".{name}.new").mkdir()  # root may write anywhere, so a folder is in the way
    person.choose("Write it down as IK")
    assert "could not be written" in person.texts()
    assert not any(is_tried(each) for each in sources(tmp_path).values())
    person.close()
    for name in ("materials.yaml", "fabrics.yaml"):
        (folder / f".{name}.new").rmdir()
    again = Person(bench, tmp_path)
    again.close()
    assert all(is_tried(each) for each in sources(tmp_path).values())
    assert len([e for e in again.events() if isinstance(e, TrialNoted)]) == len(sources(tmp_path))


@pytest.fixture(scope="module")
def trials() -> Iterator[Forks]:
    """Stations in a trial, each in a process of its own."""
    with closing(Forks(*TRIAL)) as forks:
        yield forks


@pytest.mark.parametrize("step", ["begun", "pressed", "looked", "1", "2", "3", "4"])
def test_a_kill_at_any_step_loses_no_finding_and_leaves_no_half_file(
    step: str, bench: Bench, tmp_path: Path, trials: Forks
) -> None:
    assert trials.ended([str(tmp_path), step]) == -9
    recorded = step.isdecimal()
    before = sources(tmp_path)  # every file is whole, whatever it says
    assert recorded or not any(is_tried(each) for each in before.values())
    person = Person(bench, tmp_path, now=Now("another boot", bench.now, WALL + bench.now))
    assert verify(person.log).ok
    if not recorded:
        assert "OPEN THE PRESS" in person.texts()
        assert findings(person) == []
        bench.pass_time(1.0)
        person.press()
        person.enter_setting()  # without power the press has cooled
        assert person.view.kind is ScreenKind.TRIAL
    person.close()
    assert [each.passed for each in findings(person)] == [True] * recorded
    assert all(is_tried(each) is recorded for each in sources(tmp_path).values())
    assert list((tmp_path / "recipes").glob(".*.yaml")) == []
