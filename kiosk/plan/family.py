"""The procedure families of a pass: what an operator is signed off for."""

from __future__ import annotations

from kiosk.catalog.sign_offs import FAMILIES
from kiosk.plan.model import Pass, Phase, Plan

LAYING = (Phase.LAY, Phase.LAY_TOP)
ONE_PIECE, TWO_LAYER, THREE_LAYER, STAGED_PEEL = FAMILIES


def families(plan: Plan, passage: Pass) -> tuple[str, ...]:
    """Return the families of `passage`, a pass of `plan`: by its tallest stack, and its peels."""
    layers = {p.name: p.layers for p in plan.pieces if p.panel in ("", passage.panel)}
    laid = (name for step in passage.steps if step.phase in LAYING for name in step.pieces)
    tallest = max((layers.get(name, 1) for name in laid), default=1)
    by_layers = (ONE_PIECE, TWO_LAYER, THREE_LAYER)[min(max(tallest, 1), 3) - 1]
    peels = sum(step.phase is Phase.PEEL for step in passage.steps)
    return (by_layers, STAGED_PEEL) if peels > 1 else (by_layers,)


def plan_families(plan: Plan) -> tuple[str, ...]:
    """Return the families of all passes of a plan, each once, in the order of `FAMILIES`."""
    found = {family for passage in plan.passes for family in families(plan, passage)}
    return tuple(family for family in FAMILIES if family in found)
