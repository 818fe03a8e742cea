"""The shop's rules for checks, first articles and upkeep: off by default, in the press's unit."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import recipes_with

from kiosk.catalog.model.house import Approver, Demand, FirstArticle, Policy, PressPart
from kiosk.catalog.read import read_catalog
from kiosk.run.state.rules import Rules, rules_of

SHOP = "shop.yaml"
RULES = "verify: {demand: no}, first_article: {demand: no, approver: supervisor}, scrap_limit: null"

UPKEEP = "upkeep: {pad: 14000, cover_sheet: 300, lubrication: 6000}"


def test_a_shop_without_rules_requires_nothing(tmp_path: Path) -> None:
    catalog, faults = read_catalog(recipes_with(tmp_path, SHOP))
    assert not faults
    rules = rules_of(Policy(), catalog.presses["front-press"])
    assert (rules.verify, rules.first_article, rules.scrap_limit) == (Demand.NO, Demand.NO, 0)
    assert dict(catalog.presses["back-press"].upkeep) == {}


def test_the_rules_are_read(tmp_path: Path) -> None:
    optional = (
        "scrap_limit: 3, first_article: {demand: required, approver: another}, "
        "verify: {demand: asked, offset: 4 F, spread: 9 F, valid: 90 min, idle: 20 min}"
    )
    parts = "upkeep: {pad: 20000, cover_sheet: 500}"
    folder = recipes_with(tmp_path, SHOP, (RULES, optional), (UPKEEP, parts))
    catalog, faults = read_catalog(folder)
    assert not faults
    assert catalog.policy.first_article == FirstArticle(Demand.REQUIRED, Approver.ANOTHER)
    assert rules_of(catalog.policy, catalog.presses["front-press"]) == Rules(
        Demand.ASKED, 4.0, 9.0, 5400.0, 1200.0, Demand.REQUIRED, Approver.ANOTHER, 3, tolerance=4
    )
    upkeep = catalog.presses["front-press"].upkeep
    assert upkeep == {PressPart.PAD: 20000, PressPart.COVER_SHEET: 500}


def test_the_limits_default_to_once_and_twice_the_presss_tolerance(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, SHOP, (RULES, "verify: {demand: asked}"))
    catalog, _ = read_catalog(folder)
    found = {key: rules_of(catalog.policy, press) for key, press in catalog.presses.items()}
    assert [(r.offset_most, r.spread_most) for r in found.values()] == [(4.0, 8.0), (2.0, 4.0)]
    assert [r.tolerance for r in found.values()] == [4, 2]


@pytest.mark.parametrize(
    ("found", "key", "problem"),
    [
        ("verify: {demand: yes}", "policy.verify.demand", "asked.choice"),
        ("verify: {ask: no}", "policy.verify.ask", "key.unknown"),
        ("verify: {valid: 2 days}", "policy.verify.valid", "amount.wrong_unit"),
        ("verify: {idle: 25 h}", "policy.verify.idle", "amount.range"),
        ("verify: {offset: 5 s}", "policy.verify.offset", "amount.wrong_unit"),
        ("first_article: {approver: me}", "policy.first_article.approver", "asked.choice"),
        ("scrap_limit: 0", "policy.scrap_limit", "asked.whole"),
    ],
)
def test_a_wrong_rule_is_reported(tmp_path: Path, found: str, key: str, problem: str) -> None:
    folder = recipes_with(tmp_path, SHOP, (RULES, found))
    _, faults = read_catalog(folder)
    assert [(f.key, f.problem.id) for f in faults] == [(key, f"catalog.{problem}")]


def test_upkeep_accepts_only_known_parts_and_positive_counts(tmp_path: Path) -> None:
    folder = recipes_with(tmp_path, SHOP, (UPKEEP, "upkeep: {belt: 5, pad: 0}"))
    _, faults = read_catalog(folder)
    assert {f.key.rpartition(".")[2] for f in faults} == {"belt", "pad"}
