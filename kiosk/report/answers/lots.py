"""The share of garments with a defect, sample by sample."""

from collections.abc import Sequence

from kiosk.catalog.base import Message, say
from kiosk.log.facts import GarmentSample
from kiosk.report.content import Section, Topic, control_chart
from kiosk.report.evidence import LEAST, Share, agree
from kiosk.report.period import Period
from kiosk.report.stats import Signal, shares_chart

ENOUGH = 4  # limits from fewer samples say nothing


def lots(period: Period) -> Topic:
    """Return the defect chart: consecutive samples of 20 garments, complete ones only.

    Stations share a chart only if they agree; otherwise only the one with the highest share of
    defects is drawn.
    """
    by_station = {
        facts.station: [s for s in facts.samples if s.size >= LEAST]
        for facts in period.logs
        if facts.samples
    }
    shares = {name: _share(found) for name, found in by_station.items()}
    samples = sorted((s for found in by_station.values() for s in found), key=lambda s: s.wall)
    charted, stations = samples, tuple(by_station)
    if not agree(shares):
        worst = max(shares, key=lambda name: shares[name].rate)
        charted, stations = by_station[worst], (worst,)
    if len(charted) < ENOUGH:
        reading = say("report.lots_few", count=len(charted), least=ENOUGH, size=LEAST)
        section = Section("lots", (reading,))
    else:
        notes = tuple(
            say("report.lots_apart", station=name, share=share.in_words())
            for name, share in shares.items()
            if len(stations) < len(shares)
        )
        section = _chart_of(charted, say("report.chart.lots", stations=stations), notes)
    return Topic(section, data=lambda: {"samples": [[s.defective, s.size] for s in samples]})


def _share(samples: Sequence[GarmentSample]) -> Share:
    return Share(sum(s.defective for s in samples), sum(s.size for s in samples))


def _chart_of(
    found: Sequence[GarmentSample], source: Message, notes: tuple[Message, ...]
) -> Section:
    chart = shares_chart([s.defective for s in found], [s.size for s in found])
    shares = tuple(s.defective / s.size for s in found)
    reading = (*notes, _signal_message(chart.signals, len(found)))
    return Section("lots", reading, chart=control_chart(shares, chart, "%", source, 100.0))


def _signal_message(signs: tuple[Signal, ...], sample_count: int) -> Message:
    worse = [sign for sign in signs if sign.above]
    if worse:
        first = min(worse, key=lambda sign: sign.rule)
        return say("report.lots_worse", at=first.nth + 1, rule=say(f"report.rule.{first.rule}"))
    if signs:
        return say("report.lots_better", at=signs[0].nth + 1)
    return say("report.lots_steady", samples=sample_count)
