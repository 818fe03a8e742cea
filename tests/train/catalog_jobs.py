"""Jobs of the shipped catalog, for quizzes and practice."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job, RosterLine
from kiosk.catalog.read import read_catalog
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import PanelRefusal, Plan
from kiosk.plan.procedure import plan_job
from kiosk.train.question import Subject
from kiosk.train.quiz import subject_of

RECIPES = Path(__file__).resolve().parents[2] / "recipes"
NUMBERS = ("4", "16", "27", "91")


@cache
def catalog() -> Catalog:
    found, faults = read_catalog(RECIPES)
    assert not faults
    return found


def job(recipe: str, fabric: str = "deck-knit", press: str = "heron") -> Job:
    roster = tuple(RosterLine(str(n), "AM", "FENN", each) for n, each in enumerate(NUMBERS, 1))
    return Job("j", "", "Orsavel, practice", recipe, fabric, press, roster, "")


def planned(recipe: str, fabric: str = "deck-knit", press: str = "heron") -> Plan:
    plan = plan_job(job(recipe, fabric, press), catalog(), read_face())
    assert not isinstance(plan, PanelRefusal)
    return plan


def shipped(recipe: str, fabric: str = "deck-knit", press: str = "heron") -> Subject:
    return subject_of(job(recipe, fabric, press), catalog(), planned(recipe, fabric, press))
