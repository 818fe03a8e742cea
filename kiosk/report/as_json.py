"""A report as the values that a program reads."""

from __future__ import annotations

from kiosk.report.content import Report, Say
from kiosk.report.counts import job_counts
from kiosk.report.period import Period
from kiosk.report.record import values as records
from kiosk.report.share import LEAST


def values(report: Report, period: Period, say: Say) -> dict[str, object]:
    """Return counts over all jobs, the answers in words, and what each section is made of."""
    jobs = job_counts(period)
    totals = {
        name: sum(getattr(each, field) for each in jobs)
        for name, field in (
            ("ordered", "ordered"), ("good", "good"), ("accepted", "accepted"),
            ("rework", "rework"), ("scrap", "scrap"), ("open", "still_open"),
            ("other_shifts", "other_shifts"),
        )
    }  # fmt: skip
    part, whole = sum(each.first_pass for each in jobs), sum(each.made for each in jobs)
    sections: dict[str, object] = {}
    for topic in report.topics:
        sections.update(topic.data)
    return {
        "operators": list(period.operators()),
        **totals,
        "first_pass": {"good": part, "of": whole, "rate": part / whole if whole >= LEAST else None},
        "answers": {
            topic.question: " ".join(say(each) for each in topic.answer) for topic in report.asked()
        },
        **sections,
        "records": records(period),
        "jobs": [each.job for each in jobs],
        "job_counts": sections["jobs"],
    }
