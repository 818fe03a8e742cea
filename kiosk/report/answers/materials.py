"""Which material fails: its garments with a defect, against those of the others at the press."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Mapping

from kiosk.catalog.base import Message, Value, say
from kiosk.report.answers.results import HIDDEN, Failure, failures
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.evidence import LEAST, Finding, Share, Strata, Word, stand_out, total
from kiosk.report.period import Period, Spot


def material(period: Period) -> Topic:
    """Which material fails? Compared within each press; one that is only at one with all others."""
    found = failures(period)
    groups = _by_material(period, found)
    apart = {each.key: each for each in stand_out(groups)}
    rows = tuple(
        row(name, share.part, share.whole, share.told() if share.whole >= LEAST else HIDDEN,
            (apart[name].word if name in apart else Word.TOO_LITTLE).say() if share.part else "")
        for name, share in sorted(
            ((name, total(strata.values())) for name, strata in groups.items()),
            key=lambda each: (-each[1].part, each[0]),
        )
    )  # fmt: skip
    unnamed = sum(not failure.material for failure in found)
    note = (say("report.material_unnamed", count=unnamed),) if unnamed else ()
    shares = {name: total(strata.values()) for name, strata in groups.items()}
    some_bad = sum(share.part for share in shares.values())
    answer = tuple(_apart(period, groups, each) for each in apart.values()) or (
        say("answer.material.too_little", count=some_bad, materials=len(groups))
        if some_bad
        else say("answer.material.none"),
    )
    data = {
        "materials": {m: {"failed": s.part, "pressed": s.whole} for m, s in shares.items()},
        "materials_apart": [{"material": m, "word": f.word.value} for m, f in apart.items()],
    }
    table = Table(head("material", "failed", "pressed", "share", "evidence"), rows)
    return Topic(Section("materials", (*answer, *note), table), "material", (*answer, *note), data)


def _apart(period: Period, groups: Mapping[str, Strata], found: Finding[str]) -> Message:
    """A material that is at one press alone, and alone there, cannot be told from that press."""
    here = [spot for spot, share in groups[found.key].items() if share.whole]
    elsewhere = any(
        spot in strata for name, strata in groups.items() if name != found.key for spot in here
    )
    alone = len(here) == 1 and not elsewhere and len(period.spots()) > 1
    values: dict[str, Value] = {
        "material": found.key,
        **found.own.values(),
        "others": found.others.told(),
        "word": found.word.say(),
    }
    if alone:
        names = {spot: name for spot, name in period.spots().items() if spot in here}
        return say("answer.material.at_press", **values, press=tuple(names.values()))
    return say("answer.material.some", **values)


def _by_material(period: Period, found: tuple[Failure, ...]) -> dict[str, dict[Hashable, Share]]:
    """Garments with a defect of each material among those pressed with it, by press."""
    bad = Counter((m, spot) for m, spot, _ in {(f.material, f.at.spot, f.garment) for f in found})
    pressed: Counter[tuple[str, Spot]] = Counter()
    for facts in period.logs:
        for garment in facts.garments:
            plan = facts.jobs[garment.job].plan
            for name in {piece.material for piece in plan.pieces if garment.own}:
                pressed[name, Spot(facts.station, plan.press)] += garment.many
    groups: dict[str, dict[Hashable, Share]] = defaultdict(dict)
    for (name, spot), many in pressed.items():
        groups[name][spot] = Share(min(bad[name, spot], many), many)
    return dict(groups)
