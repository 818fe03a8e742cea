"""Frozen values behave like the library's; only when their methods are compiled differs."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from kiosk.catalog.base import Message, changer, dataclass
from kiosk.run.state import State, events, model

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True)
class Part:
    name: str
    size: int = 3
    notes: tuple[str, ...] = dataclasses.field(default=(), compare=False)
    kept: Mapping[str, int] = dataclasses.field(default_factory=dict, hash=False)
    twice: int = dataclasses.field(init=False, repr=False, default=0)

    def __post_init__(self) -> None:
        object.__setattr__(self, "twice", 2 * self.size)


@dataclass(frozen=True, slots=True)
class Heavy(Part):
    grams: float = 0.5


@dataclass(frozen=True, slots=True)
class Marked:
    name: str
    size: int = 3
    seen: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "seen", (self.size,))


@dataclass(frozen=True, slots=True)
class Nothing:
    pass


def made_by_library(kind: Any) -> Any:
    """Return the same class as made by `dataclasses` itself, with only its own fields."""
    classes = []
    for each in dataclasses.fields(kind):
        options = {name: getattr(each, name) for name in ("init", "repr", "hash", "compare")}
        for name in ("default", "default_factory"):
            if getattr(each, name) is not dataclasses.MISSING:
                options[name] = getattr(each, name)
        classes.append((each.name, each.type, dataclasses.field(**options)))
    own = {"__post_init__": vars(Part)["__post_init__"]} if issubclass(kind, Part) else {}
    return dataclasses.make_dataclass(
        kind.__name__, classes, namespace=own, frozen=True, slots=True, eq=True
    )


CALLS: tuple[tuple[tuple[Any, ...], dict[str, Any]], ...] = (
    (("cap",), {}),
    (("cap", 4), {}),
    (("cap", 4, ("x",)), {"kept": {"a": 1}}),
    (("bag",), {"size": 3}),
)


@pytest.mark.parametrize("kind", [Part, Heavy])
def test_values_print_compare_and_hash_like_the_librarys(kind: Any) -> None:
    other = made_by_library(kind)
    ours = [kind(*given, **named) for given, named in CALLS]
    theirs = [other(*given, **named) for given, named in CALLS]
    assert list(map(repr, ours)) == list(map(repr, theirs))
    for left, right in zip(ours, theirs, strict=True):
        assert [left == each for each in ours] == [right == each for each in theirs]
        assert [hash(left) == hash(each) for each in ours] == [
            hash(right) == hash(each) for each in theirs
        ]
        assert left.twice == right.twice == 2 * left.size
        assert left != right
    assert ours[0].kept is not ours[1].kept
    assert kind.__match_args__ == other.__match_args__


@pytest.mark.parametrize("kind", [Part, Heavy, model.Ticket, events.Closed, events.OpenSaid])
def test_a_class_has_the_same_signature_as_the_librarys(kind: type) -> None:
    assert str(inspect.signature(kind)) == str(inspect.signature(made_by_library(kind)))


def test_a_value_cannot_be_changed_and_can_be_copied() -> None:
    value = Heavy("cap", 4, ("x",), {"a": 1}, 2.0)
    for name in ("size", "other"):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, name, 5)
    with pytest.raises(dataclasses.FrozenInstanceError):
        del value.size
    assert value.size == 4
    assert dataclasses.replace(value, name="bag") == Heavy("bag", 4, ("x",), {"a": 1}, 2.0)
    for again in (copy.copy(value), copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
        assert again == value
        assert again.kept == {"a": 1}
    assert Nothing() == Nothing()
    assert hash(Nothing()) == hash(Nothing())


@pytest.mark.parametrize(("given", "named"), [((), {}), (("a", 1, (), {}, 1.0, 2), {}),
                                              (("a",), {"other": 1})])  # fmt: skip
def test_arguments_that_do_not_fit_are_refused(
    given: tuple[Any, ...], named: dict[str, Any]
) -> None:
    with pytest.raises(TypeError, match="__init__"):
        Heavy(*given, **named)


def test_a_method_defined_in_the_class_is_kept() -> None:
    assert hash(Message("a", {"x": 1})) == hash(Message("a")) == hash("a")
    assert Message("a", {"x": 1}) != Message("a")


def test_no_file_imports_the_librarys_dataclass_for_frozen_classes() -> None:
    """The library needs half a millisecond per class at every start."""
    form = re.compile(r"^\s*@dataclass\(frozen=True, slots=True\)$", re.M)
    found = 0
    for path in (ROOT / "kiosk").rglob("*.py"):
        text = path.read_text("utf-8")
        if form.search(text):
            found += 1
            imported = re.findall(r"^from dataclasses import ([^(\n]*|\([^)]*\))", text, re.M)
            assert not any(re.search(r"\bdataclass\b", each) for each in imported), path
    assert found > 100


NOW = model.Now("boot", 1.0, 2.0)


@pytest.mark.parametrize(
    ("value", "parts"),
    [
        (State(), {"shift": 3, "last": NOW}),
        (model.Heat("1/1/1", 2, NOW, 4.0, 15.0, model.TimeSource.TOLD), {"rang": True}),
        (events.TimeUp(NOW, "1/1/1", 2, 19.0), {"at": NOW.later(5), "step": 3}),  # inherits
        (Marked("cap"), {"size": 8}),  # __post_init__
        (Nothing(), {}),
    ],
)
def test_a_changed_copy_equals_the_librarys(value: Any, parts: dict[str, Any]) -> None:
    change, before = changer(type(value)), repr(value)
    changed = change(value, parts)
    assert changed == dataclasses.replace(value, **parts)
    assert type(changed) is type(value)
    assert repr(value) == before
    assert copy.copy(changed) == pickle.loads(pickle.dumps(changed)) == changed
    for name in parts or {"name": ""}:
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(changed, name, None)
    with pytest.raises(TypeError):
        change(value, {"no_such_part": 1})
