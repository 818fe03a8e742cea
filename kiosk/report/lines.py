"""A summary as sentences, section by section: what the text and the page both show."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.message import Message, say
from kiosk.report.ratios import LEAST, Share
from kiosk.report.shift import ShiftSummary
from kiosk.run.classes import cause_word, defect_word
from kiosk.run.model import Seen


@dataclass(frozen=True, slots=True)
class Section:
    """A title, a sentence of what it suggests or how to read it, and rows of word and count."""

    title: Message
    reading: Message
    rows: tuple[tuple[Message, str], ...]


def sections(summary: ShiftSummary) -> tuple[Section, ...]:
    """Return the sections of a shift's report; one without rows is left out."""
    found = (_made(summary), _times(summary), _exceptions(summary), _defects(summary))
    return tuple(section for section in found if section.rows)


def _made(summary: ShiftSummary) -> Section:
    counts = {
        "ordered": summary.ordered,
        "good": summary.good,
        "accepted": summary.accepted,
        "rework": summary.rework,
        "scrap": summary.scrap,
        "open": summary.still_open,
        "other_shifts": summary.other_shifts,
    }
    rows = tuple((say(f"report.count.{key}"), str(count)) for key, count in counts.items())
    return Section(say("report.made"), first_pass(summary.first_pass), rows)


def first_pass(share: Share) -> Message:
    """Return first pass yield: always the counts, the rate only where it means something."""
    if share.rate is None:
        return say("report.first_pass_few", part=share.part, whole=share.whole, least=LEAST)
    return say(
        "report.first_pass", part=share.part, whole=share.whole, percent=round(100 * share.rate)
    )


def _times(summary: ShiftSummary) -> Section:
    times = summary.times
    rows = []
    for kind, counts in (("closings", times.closings), ("openings", times.openings)):
        rows += [
            (say(f"report.{kind}", seen=_word(s)), str(counts[s])) for s in Seen if s in counts
        ]
    for seen in Seen:
        if seen in times.longest_over:
            late = f"{times.longest_over[seen]:.0f} s"
            rows.append((say("report.longest_over", seen=_word(seen)), late))
    return Section(say("report.times"), say("report.times_reading"), tuple(rows))


def _exceptions(summary: ShiftSummary) -> Section:
    rows = tuple((say(f"exception.{key}"), str(n)) for key, n in summary.exceptions.items())
    return Section(say("report.exceptions"), say("report.exceptions_reading"), rows)


def _defects(summary: ShiftSummary) -> Section:
    rows = tuple(
        (
            say(
                "report.defect",
                defect=f"@{defect_word(defect).id}",
                cause=f"@{cause_word(cause or 'not_known').id}",
            ),
            str(count),
        )
        for (defect, cause), count in summary.defects.items()
    )
    return Section(say("report.defects"), say("report.defects_reading"), rows)


def _word(seen: Seen) -> str:
    return f"@seen.{seen.value.replace(' ', '_')}"
