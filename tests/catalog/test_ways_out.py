"""A missing key's fault says what is allowed; a broken entry is reported once, at its place."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from catalog_folders import (
    LAYERED,
    OF_EVERY_SHOP,
    TRIAL,
    faults_with,
    ids,
    job_with,
    only,
    own_catalog,
    read_roster,
    recipes_with,
)
from roster_trials import HEADER

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.read import read_catalog, read_job
from kiosk.words import Words, fault_text

ROWS = HEADER + "1,AL,MUÑERA,7\n"


def composed(text: str) -> yaml.Node:
    node = yaml.compose(text)
    assert node is not None
    return node


def maps(node: yaml.Node, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield the path of every key of a file."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield (*path, key.value)
            yield from maps(value, (*path, key.value))
    elif isinstance(node, yaml.SequenceNode):
        for n, item in enumerate(node.value):
            yield from maps(item, (*path, str(n)))


def without(text: str, path: tuple[str, ...]) -> str:
    """Return a file without the key at `path`."""
    node = root = composed(text)
    for step in path[:-1]:
        if isinstance(node, yaml.SequenceNode):
            node = node.value[int(step)]
        else:
            node = next(value for key, value in node.value if key.value == step)
    node.value = [(key, value) for key, value in node.value if key.value != path[-1]]
    return yaml.serialize(root, allow_unicode=True)


def kinds(text: str) -> list[tuple[str, ...]]:
    """Return one path for each kind of key in a file: entries of a map count as one kind."""
    found: dict[tuple[str, ...], tuple[str, ...]] = {}
    for path in maps(composed(text)):
        shape = tuple(step for step in path[1:] if not step.isdigit()) or path
        found.setdefault(shape, path)
    return list(found.values())


def missing(faults: tuple[Fault, ...]) -> list[Fault]:
    return [fault for fault in faults if fault.problem.id == "catalog.key.missing"]


@pytest.mark.parametrize("name", [*sorted(p.name for p in TRIAL.glob("*.yaml")), *OF_EVERY_SHOP])
def test_every_missing_key_is_reported_with_what_is_allowed(tmp_path: Path, name: str) -> None:
    folder = recipes_with(tmp_path, name)
    text = (folder / name).read_text("utf-8")
    found = []
    for path in kinds(text):
        (folder / name).write_text(without(text, path), "utf-8")
        found += missing(read_catalog(folder)[1])
    assert found
    for fault in found:
        assert fault.allowed, fault.key
        assert "; allowed: " in fault_text(fault, Words("en"))


def test_a_source_without_a_kind_is_reported_with_all_kinds(tmp_path: Path) -> None:
    changed = ("source: guess", "source: {title: Film 7}")
    (fault,) = missing(faults_with(tmp_path, "materials.yaml", changed))
    assert fault.allowed == "supplier sheet, shop trial, published, guess"


@pytest.mark.parametrize("key", ["recipe", "fabric", "press", "roster"])
def test_a_missing_job_key_is_reported_with_what_is_allowed(tmp_path: Path, key: str) -> None:
    folder = job_with(tmp_path, ROWS)
    text = (folder / "job.yaml").read_text("utf-8")
    (folder / "job.yaml").write_text(without(text, (key,)), "utf-8")
    (fault,) = missing(read_job(folder, own_catalog())[1])
    kinds = {"recipe": own_catalog().recipes, "fabric": own_catalog().fabrics,
             "press": own_catalog().presses}  # fmt: skip
    text = fault_text(fault, Words("en"))
    assert "; allowed: " in text
    assert all(name in text for name in kinds.get(key, ()))


@pytest.mark.parametrize(
    ("file", "cut", "message"),
    [
        ("materials.yaml", "temperature", "{low: …, high: …, normal: …}"),
        ("materials.yaml", "dwell", "[{from: …, to: …, low: …, high: …, normal: …}]"),
        ("materials.yaml", "goes_on", "[fabric, smooth, textured, pile]"),
        ("materials.yaml", "tack", "{low: …, high: …, normal: …, peel: …}, or null"),
        ("materials.yaml", "carrier", "yes, no"),
        ("materials.yaml", "total_heat", "s, as in 15 s"),
        ("fabrics.yaml", "dye_cap", "F or C, as in 300 F or 149 C, or null"),
        ("shop.yaml", "opens", "itself, by hand"),
    ],
)
def test_a_missing_key_is_reported_with_its_shape_or_words(
    tmp_path: Path, file: str, cut: str, message: str
) -> None:
    folder = recipes_with(tmp_path, file)
    text = (folder / file).read_text("utf-8")
    path = next(p for p in maps(composed(text)) if p[-1] == cut)
    (folder / file).write_text(without(text, path), "utf-8")
    (fault,) = missing(read_catalog(folder)[1])
    assert fault_text(fault, Words("en")).endswith(f"this key is missing; allowed: {message}")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("shop.yaml", "opens: itself", "opens: alone"),
        ("shop.yaml", "presses:", "presses: ["),
        ("fabrics.yaml", "pre_press: 4 s", "pre_press: soon"),
        ("fabrics.yaml", "plain-cloth:", "plain-cloth: {"),
        (LAYERED, "panels:", "panel:"),
        ("materials.yaml", "carrier: yes", "carrier: maybe"),
    ],
)
def test_a_broken_shop_file_is_not_a_fault_of_the_job(
    tmp_path: Path, file: str, old: str, new: str
) -> None:
    folder = recipes_with(tmp_path, file)
    text = (folder / file).read_text("utf-8")
    if file == "fabrics.yaml":  # the entry that the job names
        head, tail = text.split("plain-cloth:", 1)
        text = head + ("plain-cloth:" + tail).replace(old, new, 1)
    elif file == "shop.yaml":
        head, tail = text.split("presses:", 1)
        text = head + ("presses:" + tail).replace("opens: by hand", "opens: itself")
        text = text.replace(old, new)
    else:
        text = text.replace(old, new, 1)
    (folder / file).write_text(text, "utf-8")
    catalog, faults = read_catalog(folder)
    assert {Path(fault.file).name for fault in faults} == {file}
    _, of_the_job = read_job(job_with(tmp_path, ROWS), catalog)
    assert of_the_job == ()


def test_a_job_beside_a_broken_shop_still_has_its_own_faults(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, "shop.yaml", ("platen:", "plate:"))
    job, faults = read_job(job_with(tmp_path, HEADER + "1,huge,A,7\n"), read_catalog(folder)[0])
    assert job is None
    assert ids(faults) == ["size: roster.size"]


def test_an_unlisted_press_is_still_reported_as_unknown(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, "shop.yaml", ("platen:", "plate:"))
    _, faults = read_job(job_with(tmp_path, ROWS, press="bench-9"), read_catalog(folder)[0])
    assert (only(faults).key, only(faults).problem.id) == ("press", "catalog.asked.known")


def test_a_missing_recipes_folder_is_not_a_fault_of_the_job(tmp_path: Path) -> None:
    catalog, faults = read_catalog(tmp_path / "nowhere")
    assert only(faults).problem.id == "catalog.folder.missing"
    assert read_job(job_with(tmp_path, ROWS), catalog) == (None, ())


@pytest.mark.parametrize(
    ("header", "message"),
    [
        ("line,size,name,number,Rückennummer", 'columns: {number: "Rückennummer"}'),
        ("line,size,name,number,Nameee", 'columns: {name: "Nameee"}'),
        ("line,size,name,Rückennummer", 'columns: {number: "HEADING"}'),
        ("Zeile,Größe,Rücken,Nr#", 'columns: {size: "HEADING"}'),
    ],
)
def test_an_unknown_heading_is_reported_with_the_line_to_add_to_job_yaml(
    tmp_path: Path, header: str, message: str
) -> None:
    _, faults = read_roster(tmp_path, f"{header}\n1,AL,FENN,7,7\n")
    texts = [fault_text(fault, Words("en")) for fault in faults]
    assert any(message in text and "job.yaml" in text for text in texts), texts


def test_the_suggested_line_in_job_yaml_solves_the_fault(tmp_path: Path) -> None:
    folder = job_with(tmp_path, "line,size,name,Rücken\n1,AL,FENN,7\n")
    text = (folder / "job.yaml").read_text("utf-8")
    (folder / "job.yaml").write_text(text + 'columns: {number: "Rücken"}\n', "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert faults == ()
    assert job is not None
    assert job.roster[0].number == "7"
