"""A plan as JSON, in a form that other programs rely on; always in English."""

from collections import Counter
from fractions import Fraction
from typing import Any

from kiosk.catalog.base import Degrees, converted, fahrenheit_step, nearest
from kiosk.catalog.model import Job, Range
from kiosk.commands.plan.supply import PastByRun, PickGroup, Supply, grouped_picks, to_object
from kiosk.heat.heat_taken import ACTIVATION_RANGE, TACK_KELVIN, EstimateRange, around
from kiosk.plan import model
from kiosk.plan.heat import HeatSummary, heat_summary, is_rule
from kiosk.plan.phrases import phrase
from kiosk.plan.sources import of_source, of_sources
from kiosk.plan.time import flat_places, in_order, in_passes, minutes, spared_in
from kiosk.words import Words

Object = dict[str, Any]
WORDS = Words("en")


def of_plan(plan: model.Plan, job: Job, past: PastByRun, supply: Supply, names: bool) -> Object:
    """Return the object that `kiosk plan --json` prints for a job that can be pressed."""
    lacks = [line.lacks for line in job.roster]
    return {
        "status": "ok",
        "panels": [_panel(each) for each in plan.settings],
        "conflict": [],
        "gap": {},
        "changes": [],
        "steps": [_step(plan, each, step) for each in plan.passes for step in each.steps],
        "taps_per_garment": plan.taps_per_garment,
        "picks": _picks(plan, job, supply, names),
        "minutes": list(minutes(plan, in_passes(plan, lacks), past, spared_in(plan, lacks))),
        "heat": of_heat(plan, len(job.roster)),
        "sources": of_sources(plan.sources),
    }


def of_refusal(refusal: model.PanelRefusal) -> Object:
    """Return the object that `kiosk plan --json` prints for a job that cannot be pressed."""
    return {
        "status": "infeasible",
        "panels": [],
        "conflict": sorted(str(limit) for limit in refusal.conflict),
        "gap": {key: _short(value) for key, value in refusal.gap.items()},
        "changes": [WORDS.say(change) for change in refusal.changes],
        "steps": [],
        "taps_per_garment": 0,
        "picks": {},
        "minutes": [],
        "heat": {},
        "sources": {},
    }


def _panel(panel: model.PanelSettings) -> Object:
    return {
        "panel": panel.panel,
        "closings": [_closing(each, panel.unit) for each in panel.closings],
        "usable": [_usable(span, panel.unit) for span in panel.usable],
        "element_heat_s": dict(sorted(panel.element_heat_seconds.items())),
        "fabric_heat_s": panel.fabric_heat_seconds,
        "setting_change_f": fahrenheit_step(panel.setting_change, panel.unit),
        "warnings": sorted(panel.warnings),
        "changed_from_normal": [WORDS.say(change) for change in panel.changed_from_normal],
    }


def _closing(closing: model.Closing, unit: Degrees) -> Object:
    return {
        "purpose": closing.purpose.value,
        "elements": sorted(closing.pieces),
        "temperature_f": _in_f(closing.temperature, unit),
        **({"temperature_c": closing.temperature} if unit is Degrees.C else {}),
        "dwell_s": closing.dwell_seconds,
        "pressure": [closing.pressure_low.word, closing.pressure_high.word],
        "cover_sheet": closing.cover_sheet,
        "peel": {piece: peel.word for piece, peel in sorted(closing.peel.items())},
    }


def _usable(span: model.UsableSpan, unit: Degrees) -> Object:
    ends = [span.temperature_low, span.temperature_high]
    return {
        "temperature_f": [_in_f(end, unit) for end in ends],
        **({"temperature_c": ends} if unit is Degrees.C else {}),
        "dwell_s": [span.dwell_low, span.dwell_high],
    }


def _step(plan: model.Plan, each: model.Pass, step: model.Step) -> Object:
    return {
        "panel": each.panel,
        "phase": step.phase.value,
        "seconds": step.seconds,
        "advance": "clock" if step.phase in model.HOT_PHASES else "tap",
        "text": WORDS.say(phrase(plan, each, step)),
        "why": "" if step.why is None else WORDS.say(step.why),
    }


def _picks(plan: model.Plan, job: Job, supply: Supply, names: bool) -> Object:
    sizes = Counter(line.size for line in job.roster)
    picks: Object = {
        "garments": dict(sizes),
        "pieces": [_group(group) for group in grouped_picks(plan, supply.picks)],
        **to_object(supply),
        "order": [line.line for line in in_order(job.roster).garments],
    }
    if names:
        picks["names"] = [
            {"line": line.line, "size": line.size, "name": line.name, "number": line.number}
            for line in job.roster
        ]
    return picks


def _group(group: PickGroup) -> Object:
    found: Object = {
        "panel": group.panel,
        "element": group.element,
        "layer": group.layer,
        "colour": group.colour,
        "material": group.material,
        "height_in": _short(group.height_inches),
        "count": group.count,
    }
    if group.characters:
        found["characters"] = dict(group.characters)
    return found


def _in_f(temperature: int, unit: Degrees) -> int:
    return nearest(converted(Fraction(temperature), unit, Degrees.F))


def _short(value: float) -> float:
    """Return a whole number without a decimal point, others rounded to 3 places."""
    return int(value) if value == int(value) else round(value, 3)


def of_heat(plan: model.Plan, garments: int) -> Object:
    """Return the rack's flat places, and the heat estimates by pass; °C and seconds."""
    return {
        "flat_places": flat_places(plan, garments),
        "passes": [_heat_of_pass(plan, each) for each in plan.passes],
    }


def _heat_of_pass(plan: model.Plan, each: model.Pass) -> Object:
    summary = heat_summary(each, plan.unit)
    return {
        "panel": each.panel,
        "group": each.group + 1,
        "place": each.place.value,
        "peels": [_wait(wait) for wait in each.stages],
        "left_s": {remaining.owner: remaining.spare_seconds for remaining in each.heat_left},
        **({} if summary is None else _estimates(summary)),
    }


def _estimates(summary: HeatSummary) -> Object:
    return {
        "cloth_s_above_120_c": round(summary.heat.seconds_above, 1),
        "cloth_equivalent_s_at_149_c": round(summary.heat.equivalent_seconds, 1),
        "tack_bond_c": [round(tack.bond, 1) for tack in summary.tacks],
        "cloth_s_above_120_c_range": _between(summary.heat.seconds_between),
        "cloth_equivalent_s_at_149_c_range": _between(summary.heat.equivalent_between),
        "tack_bond_c_range": [_between(around(tack.bond, TACK_KELVIN)) for tack in summary.tacks],
        "assumed_activation_kj_per_mol": [joules / 1000 for joules in ACTIVATION_RANGE],
    }


def _between(between: EstimateRange) -> list[float]:
    return [round(each, 1) for each in between]


def _wait(wait: model.PeelWait) -> Object:
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
