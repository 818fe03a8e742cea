"""The sentences of the report room."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

_COUNTS: dict[str, Sentence] = {
    "report.count.ordered": N_("ordered"),
    "report.count.good": N_("good"),
    "report.count.accepted": N_("accepted within the grade"),
    "report.count.rework": N_("waiting for rework"),
    "report.count.scrap": N_("scrapped, each made again"),
    "report.count.open": N_("open"),
    "report.count.other_shifts": N_("finished in other shifts"),
}

_EXCEPTIONS: dict[str, Sentence] = {
    "exception.short": N_("opened before the time was up"),
    "exception.unasked": N_("closed unasked"),
    "exception.unknown": N_("outcome unknown after a stop"),
    "exception.repress": N_("second final press allowed"),
    "exception.ruled": N_("decided by a supervisor"),
    "exception.stopped": N_("stopped for a supervisor"),
    "exception.aside": N_("put aside"),
    "exception.skipped": N_("pre-press left out"),
    "exception.held": N_("held"),
    "exception.not_closed": N_("said to be closed, and was not"),
    "exception.taken_back": N_("tap taken back"),
    "exception.refused": N_("tap turned away"),
    "exception.wrong_read": N_("read wrongly before heat"),
    "exception.clock_moved": N_("wall clock moved"),
}

_SEEN: dict[str, Sentence] = {
    "seen.declared": N_("declared"),
    "seen.measured": N_("measured"),
    "seen.not_seen": N_("not seen"),
}

REPORT: dict[str, Sentence] = {
    **_COUNTS,
    **_EXCEPTIONS,
    **_SEEN,
    "report.title": N_("Shift {shift}"),
    "report.title_simulated": N_("Shift {shift}, simulated"),
    "report.line": N_("{began} to {ended}; operators: {operators}; jobs: {jobs}"),
    "report.line_going_on": N_("since {began}; operators: {operators}; jobs: {jobs}"),
    "report.made": N_("Garments"),
    "report.first_pass": N_("Good as first pressed: {part} of {whole}, {percent} %"),
    "report.first_pass_few": N_(
        "Good as first pressed: {part} of {whole}; below {least} a rate says nothing"
    ),
    "report.times": N_("Closings and openings"),
    "report.times_reading": N_(
        "Declared comes from a tap, measured from a switch on the press; the rest was not seen"
    ),
    "report.closings": N_("closings {seen}"),
    "report.openings": N_("openings {seen}"),
    "report.longest_over": N_("longest over-run, {seen}"),
    "report.exceptions": N_("Out of the ordinary"),
    "report.exceptions_reading": N_("How often in this shift"),
    "report.defects": N_("Defects"),
    "report.defects_reading": N_("The most frequent first: begin there"),
    "report.defect": N_("{defect}: {cause}"),
}
