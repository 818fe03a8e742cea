"""A plan's heat for `kiosk plan`: lines to read, and an object for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kiosk.heat.taken import ACTIVATION_RANGE, TACK_KELVIN, Between, around
from kiosk.plan.heat import HeatTold, heat_told, is_rule, sentences
from kiosk.plan.model import Pass, PeelWait, Plan
from kiosk.plan.reasons import element_words
from kiosk.plan.sources import of_source
from kiosk.plan.stack import HeatLeft, Range
from kiosk.plan.time import flat_places
from kiosk.words import Words

Object = dict[str, Any]


def heat_lines(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    """Yield what is told of a pass's heat, and what its totals leave."""
    told = heat_told(each, plan.unit)
    if told is not None:
        yield from (words.say(sentence) for sentence in sentences(told, plan.unit))
    parts = ", ".join(_left(plan, each, left, words) for left in each.heat_left)
    yield words("heat.left", parts=parts)


def _left(plan: Plan, each: Pass, left: HeatLeft, words: Words) -> str:
    piece = next((p for p in plan.pieces if (p.panel, p.name) == (each.panel, left.owner)), None)
    if piece is None:
        return words("heat.left.fabric", seconds=left.left)
    (element,) = element_words((piece.name,))
    which = "layer" if piece.layers > 1 else "one"
    return words(f"heat.left.{which}", element=element, layer=piece.layer, seconds=left.left)


def of_heat(plan: Plan, garments: int) -> Object:
    """Return the rack's flat places, and by pass what is estimated; °C and seconds."""
    return {
        "flat_places": flat_places(plan, garments),
        "passes": [_pass(plan, each) for each in plan.passes],
    }


def _pass(plan: Plan, each: Pass) -> Object:
    told = heat_told(each, plan.unit)
    return {
        "panel": each.panel,
        "group": each.group + 1,
        "place": each.place.value,
        "peels": [_wait(wait) for wait in each.stages],
        "left_s": {left.owner: left.left for left in each.heat_left},
        **({} if told is None else _told(told)),
    }


def _told(told: HeatTold) -> Object:
    return {
        "cloth_s_above_120_c": round(told.taken.seconds_above, 1),
        "cloth_equivalent_s_at_149_c": round(told.taken.equivalent_seconds, 1),
        "tack_bond_c": [round(tack.bond, 1) for tack in told.tacks],
        "cloth_s_above_120_c_range": _between(told.taken.seconds_between),
        "cloth_equivalent_s_at_149_c_range": _between(told.taken.equivalent_between),
        "tack_bond_c_range": [_between(around(tack.bond, TACK_KELVIN)) for tack in told.tacks],
        "assumed_activation_kj_per_mol": [joules / 1000 for joules in ACTIVATION_RANGE],
    }


def _between(between: Between) -> list[float]:
    return [round(each, 1) for each in between]


def _wait(wait: PeelWait) -> Object:
    return {
        "peel": wait.peel.word,
        "source": wait.source.rsplit(".", 1)[-1],
        "from_s": wait.from_seconds,
        "to_s": wait.to_seconds,
        "ready_s": _range(wait.ready),
        "late_s": _range(wait.late),
        "guess_s": None if wait.guess is None else list(wait.guess),
        "origin": of_source(wait.origin) if is_rule(wait) else None,
    }


def _range(span: Range | None) -> list[float] | None:
    return None if span is None else [span.low, span.middle, span.high]
