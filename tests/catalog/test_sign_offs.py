"""sign-off.yaml: the criteria for trainees, and every way to get them wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, own_catalog, recipes_with

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.model.house import FAMILIES, PLAIN, SignOffRule, rule_of
from kiosk.catalog.read import read_catalog

GOOD = "two-layer: {clean_garments: 4, slips_caught: 1, quiz_right: 9, valid_days: 30}\n"


def read(tmp_path: Path, text: str) -> tuple[dict[str, SignOffRule], tuple[Fault, ...]]:
    folder = recipes_with(tmp_path, "packs.yaml")
    (folder / "sign-off.yaml").write_text(text, "utf-8")
    catalog, faults = read_catalog(folder)
    return dict(catalog.sign_off), faults


def test_every_family_has_a_rule_in_the_shipped_file() -> None:
    assert set(own_catalog().sign_off) == set(FAMILIES)


def test_a_rule_is_read_and_other_families_get_the_default(tmp_path: Path) -> None:
    rules, faults = read(tmp_path, GOOD)
    assert faults == ()
    assert rule_of(rules, "two-layer") == SignOffRule(4, 1, 9, 30)
    rules, faults = read(tmp_path, GOOD.replace("}", ", slip_kinds: 2, days: 3, hours_between: 8}"))
    assert faults == ()
    assert rule_of(rules, "two-layer") == SignOffRule(4, 1, 9, 30, 2, 3, 8)
    assert rule_of(rules, "one-piece") == PLAIN


@pytest.mark.parametrize(
    ("before", "after", "fault"),
    [
        ("two-layer", "two-layers", "two-layers: key.unknown"),
        ("clean_garments: 4, ", "", "two-layer.clean_garments: key.missing"),
        ("clean_garments", "clean_garment", "two-layer.clean_garment: key.unknown"),
        ("quiz_right: 9", "quiz_right: 11", "two-layer.quiz_right: asked.whole"),
        ("valid_days: 30", "valid_days: 0", "two-layer.valid_days: asked.whole"),
    ],
)
def test_one_mistake_is_one_fault_with_its_key(
    tmp_path: Path, before: str, after: str, fault: str
) -> None:
    rules, faults = read(tmp_path, GOOD.replace(before, after))
    assert ids(faults) == [fault]
    assert rules == {}


def test_a_misspelled_family_is_reported_with_the_nearest(tmp_path: Path) -> None:
    _, (fault,) = read(tmp_path, GOOD.replace("two-layer", "two-layers"))
    assert (fault.key, fault.nearest) == ("two-layers", "two-layer")
