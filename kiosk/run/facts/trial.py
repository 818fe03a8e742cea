"""Whether a setting rests on guesses that nobody has tried, and what a trial vouches for.

A trial is a garment or a piece of the same cloth, pressed by the plan, peeled, looked over and
stretched. It vouches for the setting that it was made at, on that cloth, and for nothing that
one pressing does not show: how much heat is too much in all, whether dye comes through later,
and how long a peel may wait stay what they were.
"""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.catalog.model import Source, SourceKind, Sources
from kiosk.plan.model import Pass, Phase, Plan
from kiosk.run.facts.lots import article_of, materials_of
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.state.model import JobRun, Stage, Tried
from kiosk.run.state.rules import Demand

PEEL = "peel"  # the carrier did not come off as it should
LOOKS = (PEEL, "lifted_edge", "stretched", "marks")
"""What is looked for on a trial, in this order."""

AND = "; "  # between the settings that a material was tried at

MATERIAL, FABRIC = "material", "fabric"
DECIDES = {
    MATERIAL: ("temperature", "dwell", "pressure", "peel", "cover_sheet", "tack"),
    FABRIC: ("temperature_max", "dwell_max", "pressure_max", "pre_press"),
}
"""The keys that a setting rests on and one pressing can try."""
NOT_TRIED = {
    MATERIAL: ("peel_wait", "total_heat", "blocks_dye"),
    FABRIC: ("total_heat", "dye_risk", "dye_cap"),
}
"""The keys that one pressing says nothing of: they keep the source that they have."""


def setting_tried(plan: Plan, passage: Pass) -> str:
    """Return what a trial of a pass is made at: `284 F, 13 s, knit-polyester`."""
    final = next((step for step in passage.steps if step.phase is Phase.FINAL), None)
    if final is None:
        return plan.fabric
    return f"{final.temperature} {plan.unit.value}, {final.seconds} s, {plan.fabric}"


def untried(plan: Plan, passage: Pass) -> tuple[Tried, ...]:
    """Return the materials of a pass, then its fabric, whose numbers are guesses at its setting."""
    at = setting_tried(plan, passage)
    owners = [(MATERIAL, m, plan.sources.of_material(m)) for m in materials_of(plan, passage)]
    owners.append((FABRIC, plan.fabric, plan.sources.fabric))
    return tuple(
        Tried(kind, key, at) for kind, key, sources in owners if not _known(kind, sources, at)
    )


def _known(kind: str, sources: Sources, at: str) -> bool:
    return all(_holds(sources.of(key), at) for key in DECIDES[kind])


def _holds(source: Source, at: str) -> bool:
    """Whether a number needs no trial: looked up, or tried at this very setting."""
    if source.kind is SourceKind.SHOP_TRIAL:
        return not source.at or at in source.at.split(AND)
    return not source.is_guess


def trial_due(job: JobRun) -> bool:
    """Return whether the garment at hand waits for a trial before its first heat."""
    if job.rules.trial is Demand.NO:
        return False
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS or ticket.opened is not None:
        return False
    return _due(job, pass_of(job, ticket))


def _due(job: JobRun, passage: Pass) -> bool:
    article = article_of(job.plan, passage)
    settled = article in job.tried or article in job.trial_first
    return not settled and bool(untried(job.plan, passage))


def to_try(job: JobRun) -> Iterator[tuple[str, tuple[Tried, ...]]]:
    """Yield each article of the job that waits for a trial, with what its setting rests on."""
    seen = set()
    for passage in job.plan.passes:
        article = article_of(job.plan, passage)
        if article not in seen and _due(job, passage):
            seen.add(article)
            yield article, untried(job.plan, passage)
