"""Trials before a lot: which numbers are guesses at its setting, and what a trial can show."""

from collections.abc import Iterator

from kiosk.catalog.model import Source, SourceKind, Sources
from kiosk.plan.model import Pass, Phase, Plan
from kiosk.run.facts.checks import article_of, materials_of
from kiosk.run.facts.tickets import final_of, pass_of, pieces_of, slot_ticket
from kiosk.run.state.model import JobRun, TicketStage
from kiosk.run.state.rules import TriedSubject

PEEL = "peel"  # the carrier did not come off as it should
LOOKS = (PEEL, "lifted_edge", "stretched", "marks")
"""Defects to look for on a trial, in this order."""

AND = "; "  # between the settings that a material was tried at

MATERIAL, FABRIC = "material", "fabric"
DECIDES = {
    MATERIAL: ("temperature", "dwell", "pressure", "peel", "cover_sheet", "tack"),
    FABRIC: ("temperature_max", "dwell_max", "pressure_max", "pre_press"),
}
"""The keys that decide a setting and that one pressing can try."""
NOT_TRIED = {
    MATERIAL: ("peel_wait", "total_heat", "blocks_dye"),
    FABRIC: ("total_heat", "dye_risk", "dye_cap"),
}
"""The keys that one pressing shows nothing about: they keep their source."""


TACKED = ", tack "  # in the setting of a trial: before the seconds of a material's tack


def setting_tried(plan: Plan, passage: Pass, material: str = "") -> str:
    """Return the setting of a pass's trial: `284 F, 13 s, knit-polyester`.

    For a `material` that the pass tacks: `284 F, 13 s, knit-polyester, tack 4 s`.
    """
    final = final_of(passage)
    setting = f"{final.temperature} {plan.unit.value}, {final.seconds} s, {plan.fabric}"
    pieces = pieces_of(plan, passage)
    of_material = {name for name, piece in pieces.items() if piece.material == material}
    tacks = (step for step in passage.steps if step.phase is Phase.TACK)
    seconds = {step.seconds for step in tacks if of_material & {*step.pieces}}
    return f"{setting}{TACKED}{max(filter(None, seconds), default=0)} s" if seconds else setting


def untried(plan: Plan, passage: Pass) -> tuple[TriedSubject, ...]:
    """Return a pass's materials, then its fabric, whose numbers are guesses at its setting."""
    owners = [(MATERIAL, m, plan.sources.of_material(m)) for m in materials_of(plan, passage)]
    settings = [setting_tried(plan, passage, material) for _, material, _ in owners]
    owners.append((FABRIC, plan.fabric, plan.sources.fabric))
    settings.append(setting_tried(plan, passage))
    found = zip(owners, settings, strict=True)
    return tuple(
        TriedSubject(kind, key, setting)
        for (kind, key, sources), setting in found
        if not _needs_no_trial(kind, sources, setting)
    )


def not_tried(tried: TriedSubject) -> tuple[str, ...]:
    """Return the keys that a trial shows nothing about; the tack among them if none was made."""
    tack = tried.kind == MATERIAL and TACKED not in tried.at
    return (*NOT_TRIED[tried.kind], "tack") if tack else NOT_TRIED[tried.kind]


def _needs_no_trial(kind: str, sources: Sources, setting: str) -> bool:
    keys = DECIDES[kind] if TACKED in setting else tuple(k for k in DECIDES[kind] if k != "tack")
    return all(_holds(sources.of(key), setting, key) for key in keys)


def _holds(source: Source, setting: str, key: str) -> bool:
    """Whether a number needs no trial: it was looked up, or tried at this setting."""
    if source.kind is not SourceKind.SHOP_TRIAL:
        return not source.is_guess
    tried = source.at.split(AND)
    if key == "tack":
        return not source.at or setting in tried
    return not source.at or _final(setting) in map(_final, tried)


def _final(setting: str) -> str:
    """The setting of a trial without its tack."""
    return setting.partition(TACKED)[0]


def trial_due(job: JobRun) -> bool:
    """Return whether in a shop that asks for trials the garment in the slot needs one first."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not TicketStage.AT_PRESS or ticket.opened is not None:
        return False
    return _needs_trial(job, pass_of(job, ticket))


def _needs_trial(job: JobRun, passage: Pass) -> bool:
    article = article_of(job.plan, passage)
    settled = article in job.tried or article in job.trial_first
    return not settled and bool(untried(job.plan, passage))


def articles_to_try(job: JobRun) -> Iterator[tuple[str, tuple[TriedSubject, ...]]]:
    """Yield each article of the job that needs a trial, with what to try for its setting."""
    yielded = set()
    for passage in job.plan.passes:
        article = article_of(job.plan, passage)
        if article not in yielded and _needs_trial(job, passage):
            yielded.add(article)
            yield article, untried(job.plan, passage)
