"""Errors in a file of heat cases name the file, the case, the key and what to write.

JSON may hold what RFC 8259 allows, and also NaN and Infinity, which Python's reader accepts.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kiosk.heat.__main__ import main

CASE = json.loads((Path(__file__).parent / "heat-cases.json").read_text("utf-8"))["cases"][0]
CASE["stages"] = CASE["stages"][:2]  # a stage with air on both faces is added below
CASE["stages"].append(copy.deepcopy(CASE["stages"][1]) | {"name": "cool", "pressed": False})
NAN, HUGE = float("nan"), 10**400
WRONG: tuple[Any, ...] = (
    "text",
    None,
    True,
    -1e12,
    NAN,
    float("inf"),
    HUGE,
    [],
    {},
    [[1]],
    {"other": 1},
)
UNREAD = {"description", "inputs", "trace_after_open", "platen_C", "expected"}
OF_PYTHON = re.compile(r"Traceback|Error|NoneType|'\w+'|unsupported|subscript|object|instance")


def places(part: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every value in a case that is read."""
    yield way
    inside = dict(enumerate(part)) if isinstance(part, list) else part
    for key, value in inside.items() if isinstance(inside, dict) else ():
        if key not in UNREAD:
            yield from places(value, (*way, key))


def with_value(way: tuple[Any, ...], value: Any) -> Any:
    changed = {"cases": [copy.deepcopy(CASE)]}
    part: Any = changed
    for key in ("cases", 0, *way)[:-1]:
        part = part[key]
    part[("cases", 0, *way)[-1]] = value
    return changed


@pytest.mark.parametrize("wrong", WRONG, ids=lambda each: json.dumps(each)[:12])
def test_every_error_is_reported_with_its_key(
    wrong: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Some values are valid in some places (no T_top, a pressed stage): those cases are solved."""
    file, refused = tmp_path / "cases.json", 0
    for way in places(CASE):
        file.write_text(json.dumps(with_value(way, wrong)), "utf-8")
        code = main([str(file)])
        errors = capsys.readouterr().err
        assert code in (0, 1), way
        assert bool(errors) is bool(code), way
        if code:
            refused += 1
            assert errors.startswith(f"{file}: "), errors
            assert errors.count("\n") == 1
            assert not OF_PYTHON.search(errors.removeprefix(str(file))), (way, errors)
            assert not way or way[0] == "id" or f"case 01: {way[0]}" in errors or wrong is None, (
                errors
            )
    assert refused > 60


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "the file is empty"),
        (json.dumps({"cases": [CASE]}).encode("utf-16"), "not a text file"),
        (b'{"cases": "\xe9"}', "1: the text must be saved as UTF-8"),
        (b"[" * 100_000, "nested too deeply"),
        (b'{"cases": [],\n"cases": [1]}', "cases: is there twice"),
        (b'{"cases": [\n{"id":', "line 2: this cannot be read as JSON"),
        (json.dumps({"cases": [CASE, CASE]}).encode(), "cases 2: there is a case 01 already"),
        (b"[]", "write keys with values"),
        (b'{"cases": 3}', "cases: write a list; found: 3"),
    ],
)
def test_a_file_without_heat_cases_is_refused_with_the_reason(
    data: bytes, reason: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cases.json"
    file.write_bytes(data)
    assert main([str(file)]) == 1
    assert re.fullmatch(
        rf"{re.escape(str(file))}:\s?{re.escape(reason)}.*\n", capsys.readouterr().err
    )


def test_a_file_with_a_byte_order_mark_and_tabs_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cases.json"
    file.write_bytes(b"\xef\xbb\xbf" + json.dumps({"cases": [CASE]}, indent="\t").encode())
    assert main([str(file)]) == 0
    assert "01" in json.loads(capsys.readouterr().out)
