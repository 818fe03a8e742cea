"""The share with a defect, sample by sample, on a p-chart."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.report.answers.results import LEAST
from kiosk.report.content import Section, Topic, control_chart
from kiosk.report.period import Period
from kiosk.report.stats.limits import Signal, proportions, signals

ENOUGH = 4  # samples below which limits say nothing


def lots(period: Period) -> Topic:
    """Return the defect chart: samples of 20 garments one after the other, whole ones only."""
    found = sorted(
        (s for facts in period.logs for s in facts.samples if s.size >= LEAST),
        key=lambda sample: sample.wall,
    )
    data = {"samples": [[s.defective, s.size] for s in found]}
    if len(found) < ENOUGH:
        reading = say("report.lots_few", count=len(found), least=ENOUGH, size=LEAST)
        return Topic(Section("lots", (reading,)), data=data)
    counts, sizes = [s.defective for s in found], [s.size for s in found]
    limits = proportions(counts, sizes)
    shares = tuple(count / size for count, size in zip(counts, sizes, strict=True))
    signs = signals(
        [
            (share - each.centre) / each.sigma if each.sigma else 0.0
            for share, each in zip(shares, limits, strict=True)
        ]
    )
    percents = tuple(100 * share for share in shares)
    hundreds = tuple(each.times(100) for each in limits)
    chart = control_chart(percents, hundreds, signs, "%")
    return Topic(Section("lots", (_suggests(signs, len(found)),), chart=chart), data=data)


def _suggests(signs: tuple[Signal, ...], samples: int) -> Message:
    worse = [sign for sign in signs if sign.above]
    if worse:
        first = min(worse, key=lambda sign: sign.rule)
        return say("report.lots_worse", at=first.at + 1, rule=say(f"report.rule.{first.rule}"))
    if signs:
        return say("report.lots_better", at=signs[0].at + 1)
    return say("report.lots_steady", samples=samples)
