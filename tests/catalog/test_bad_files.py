"""Broken and wrong files: each ends in a fault, none in a traceback."""

from __future__ import annotations

import os
import re
import shutil
from contextlib import suppress
from pathlib import Path
from threading import Event, Thread

import pytest
import yaml
from catalog_folders import LAYERED, ids, only, own_catalog, recipes_with
from roster_trials import HEADER

from kiosk.catalog.base import tree
from kiosk.catalog.base.files import MOST_BYTES, read_bytes
from kiosk.catalog.base.notes import Fault, Notes, Unsound, say
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.read import read_catalog

BOMB = "a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\npanels: *c\n"


def read_with(tmp_path: Path, content: bytes, file: str = LAYERED) -> tuple[Catalog, Fault]:
    """Return the catalog and the only fault when `file` has this content."""
    folder = recipes_with(tmp_path, LAYERED)
    (folder / file).write_bytes(content)
    catalog, faults = read_catalog(folder)
    return catalog, only(faults)


@pytest.mark.parametrize(
    ("content", "problem", "line"),
    [
        (b"", "file.empty", 0),
        (b" \n\n", "file.empty", 0),
        (b"# only a remark\n", "file.empty", 0),
        (b"---\n...\n", "asked.map", 2),
        (b"title: \xff\xfe\n", "file.not_utf8", 1),
        (b"title: a\npanels: \xe9\n", "file.not_utf8", 2),
        (b"title: a\0b\n", "file.binary", 0),
        (b"\x7fELF\0\0\0", "file.binary", 0),
        ("title: a".encode("utf-16"), "file.binary", 0),
        (b"title: a\x07b\n", "yaml.broken", 1),
        (b"title: [a\npanels: {\n", "yaml.broken", 2),
        (b"title: a\npanels: 'a\ntitle: b\n", "yaml.broken", 2),  # where they were opened
        (b"title: a\n\tpanels: b\n", "yaml.broken", 2),
        (b"title: a\n---\ntitle: b\n", "yaml.second", 2),
        (b"- title: a\n", "asked.map", 1),
        (b"just a sentence\n", "asked.map", 1),
        (b"panels: !!python/object/apply:os.system ['true']\n", "yaml.tag", 1),
        (b"title: a\npanels: !shop [b]\n", "yaml.tag", 2),
        (b"[" * 30 + b"]" * 30, "yaml.deep", 1),
        (b"panels: [" + b"x, " * 60_000 + b"x]", "yaml.many", 1),
    ],
)
def test_a_broken_file_is_one_fault_and_the_rest_is_read(
    tmp_path: Path, content: bytes, problem: str, line: int
) -> None:
    catalog, fault = read_with(tmp_path, content)
    assert fault.problem.id == f"catalog.{problem}"
    assert fault.line == line
    assert fault.file.endswith(LAYERED)
    assert LAYERED.removesuffix(".yaml") not in catalog.recipes
    assert len(catalog.recipes) == len(own_catalog().recipes) - 1


@pytest.mark.parametrize("loader", [tree.LOADER, yaml.SafeLoader])
@pytest.mark.parametrize(
    ("content", "line", "remedy"),
    [
        ("title: a\n\tpanels: b\n", 2, "tab"),
        ("a:\n  b: 1\n\tc: 2\n", 3, "tab"),
        ("title: Home: away\n", 1, "key"),
        ("title:Home\npanels: 1\n", 2, "key"),
        ("a:\n  b: 1\n c: 2\n", 3, "column"),
        ("a:\n  - b: 1\n  c: 2\n", 3, "column"),
        ("a: {b: 1, c: 2\nd: 3\n", 2, "bracket"),
        ('a: "b\nc: 1\n', 1, "quote"),
        ("a: @b\n", 1, "sign"),
        ("a: b\x07\n", 1, "control"),
    ],
)
def test_broken_yaml_is_reported_with_advice(
    monkeypatch: pytest.MonkeyPatch, loader: type, content: str, line: int, remedy: str
) -> None:
    """With the C and the Python parser, whose messages differ; mistakes of first-time authors
    (common practice, no source)."""
    monkeypatch.setattr(tree, "LOADER", loader)
    notes = Notes("a.yaml")
    with pytest.raises(Unsound):
        tree.compose(content, notes)
    (fault,) = notes.faults
    assert fault.line == line
    assert fault.problem.values["why"] == say(f"catalog.yaml.why.{remedy}")


def test_a_decimal_comma_is_reported_as_one(tmp_path: Path) -> None:
    """In braces a comma separates values: 16,5 s is 16 and a key `5 s` (YAML 1.2, 7.4)."""
    folder = recipes_with(tmp_path, LAYERED)
    sheets = folder / "materials.yaml"
    text = sheets.read_text("utf-8")
    sheets.write_text(re.sub(r"normal: \d+ s}", "normal: 16,5 s}", text, count=1), "utf-8")
    faults = read_catalog(folder)[1]
    assert "catalog.key.half" in {each.problem.id for each in faults}


def test_brackets_alone_do_not_overflow_the_reader(tmp_path: Path) -> None:
    fault = read_with(tmp_path, b"[" * 100_000)[1]  # the C parser has its own limit
    assert fault.problem.id in {"catalog.yaml.deep", "catalog.yaml.broken"}


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    content = (folder / LAYERED).read_bytes()
    (folder / LAYERED).write_bytes(b"\xef\xbb\xbf" + content)
    assert not read_catalog(folder)[1]


def test_aliases_are_refused_without_being_expanded(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / LAYERED).write_text(BOMB, "utf-8")
    faults = read_catalog(folder)[1]
    assert [(fault.line, fault.found) for fault in faults] == [
        (2, "*a"), (2, "*a"), (3, "*b"), (3, "*b"), (4, "*c"),
    ]  # fmt: skip
    assert {fault.problem.id for fault in faults} == {"catalog.yaml.alias"}


def test_a_yaml_tag_runs_no_code(tmp_path: Path) -> None:
    trace = tmp_path / "trace"
    content = f"panels: !!python/object/apply:pathlib.Path.touch ['{trace}']\n"
    read_with(tmp_path, content.encode())
    assert not trace.exists()


def test_a_merge_key_is_an_unknown_key(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED, ("title:", "<<: {}\ntitle:"))
    assert ids(read_catalog(folder)[1]) == ["<<: key.unknown"]


def test_a_huge_file_is_refused_without_being_read(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    with (folder / LAYERED).open("wb") as file:
        file.truncate(50_000_000_000)  # sparse: reading it all would fill the memory
    assert only(read_catalog(folder)[1]).problem.id == "catalog.file.too_large"


def test_a_file_of_the_largest_size_is_still_checked(tmp_path: Path) -> None:
    line = b"  wrong-key: 1\n"
    assert read_with(tmp_path, b"panels:\n" + line * (MOST_BYTES // len(line) - 1))[1]


def test_a_folder_in_place_of_a_file_is_a_fault(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / "shop.yaml").unlink()
    (folder / "shop.yaml").mkdir()
    assert only(read_catalog(folder)[1]).problem.id == "catalog.file.not_plain"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this platform has no named pipes")
def test_a_named_pipe_is_a_fault_and_does_not_block(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / LAYERED).unlink()
    os.mkfifo(folder / LAYERED)
    assert only(read_catalog(folder)[1]).problem.id == "catalog.file.not_plain"


@pytest.mark.parametrize(("other", "nearest"), [("plush-pair", ""), ("shops", "shops.yaml")])
def test_a_shared_suffix_does_not_make_file_names_similar(
    tmp_path: Path, other: str, nearest: str
) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / "shop.yaml").rename(folder / f"{other}.yaml")
    missing = [f for f in read_catalog(folder)[1] if f.problem.id == "catalog.file.missing"]
    assert [fault.nearest for fault in missing] == [nearest]


def test_a_link_to_nowhere_is_a_missing_file(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / LAYERED).unlink()
    (folder / LAYERED).symlink_to(tmp_path / "gone.yaml")
    assert only(read_catalog(folder)[1]).problem.id == "catalog.file.missing"


@pytest.mark.parametrize("file", ["materials.yaml", "fabrics.yaml", "shop.yaml"])
def test_a_missing_file_is_the_only_fault_reported(tmp_path: Path, file: str) -> None:
    folder = recipes_with(tmp_path, LAYERED)
    (folder / file).unlink()
    fault = only(read_catalog(folder)[1])
    assert fault.problem.id == "catalog.file.missing"
    assert fault.file.endswith(file)


def test_a_missing_folder_is_a_fault(tmp_path: Path) -> None:
    catalog, faults = read_catalog(tmp_path / "nowhere")
    assert only(faults).problem.id == "catalog.folder.missing"
    assert not catalog.recipes


def test_an_empty_folder_has_one_fault_per_missing_file(tmp_path: Path) -> None:
    faults = read_catalog(tmp_path)[1]
    assert [fault.problem.id for fault in faults] == ["catalog.file.missing"] * 3


def test_faults_in_all_files_are_reported_together(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, LAYERED, ("panels:", "panles:"))
    recipes_with(tmp_path, "shop.yaml", ("tolerance: 4 F", "tolerance: 4"))
    shutil.copy(folder / "shop.yaml", folder / "fabrics.yaml")
    names = {Path(fault.file).name for fault in read_catalog(folder)[1]}
    assert names == {"fabrics.yaml", "shop.yaml", LAYERED}


def test_a_file_still_being_written_is_not_half_read(tmp_path: Path) -> None:
    """A file still being copied from a share or a slow stick, row after row."""
    file, stop = tmp_path / "order.csv", Event()
    file.write_text(HEADER + "1,AL,FENN,7\n" * 50_000, "utf-8")

    def keep_writing() -> None:
        while not stop.is_set():
            with file.open("a", encoding="utf-8") as coming:
                coming.write("2,AL,KOVA,8\n")

    writer = Thread(target=keep_writing)
    writer.start()
    try:
        assert any(refused_as(file) == "catalog.file.changing" for _ in range(TRIES))
    finally:
        stop.set()
        writer.join()
    assert refused_as(file) == ""


TRIES = 2_000  # the first nearly always suffices


def refused_as(file: Path) -> str:
    notes = Notes(str(file))
    with suppress(Unsound):
        read_bytes(file, notes)
    return "".join(fault.problem.id for fault in notes.faults)


def test_a_file_without_read_permission_is_reported_as_such(tmp_path: Path) -> None:
    file = tmp_path / "order.csv"
    file.write_text(HEADER, "utf-8")
    file.chmod(0)
    reader, writer = os.pipe()
    if os.fork() == 0:
        if os.geteuid() == 0:  # root can read everything, so become another user meanwhile
            os.seteuid(65534)
        os.write(writer, refused_as(file).encode())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as result:
        assert result.read() == "catalog.file.closed"
    os.wait()
