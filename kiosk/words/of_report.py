"""The sentences of the report room."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence
from kiosk.words.of_report_answers import ANSWERS
from kiosk.words.of_report_heads import HEADS, ISO

_EXCEPTIONS: dict[str, Sentence] = {
    "exception.short": N_("opened before the time was up"),
    "exception.unasked": N_("closed unasked"),
    "exception.unknown": N_("outcome unknown after a stop"),
    "exception.stopped": N_("stopped for a supervisor"),
    "exception.aside": N_("put aside"),
    "exception.skipped": N_("pre-press left out"),
    "exception.held": N_("held"),
    "exception.not_closed": N_("said to be closed, and was not"),
    "exception.never_closed": N_("closing taken back: it was never closed"),
    "exception.told_pressed": N_("pressed without a tap, time told by hand"),
    "exception.taken_back": N_("tap taken back"),
    "exception.refused": N_("tap turned away"),
    "exception.wrong_read": N_("read wrongly before heat"),
    "exception.clock_moved": N_("wall clock moved"),
    "exception.lapsed": N_("check of the press lapsed"),
}

_SECTIONS: dict[str, Sentence] = {
    "report.title": N_("Shift {shift}"),
    "report.title_simulated": N_("Shift {shift}, simulated"),
    "report.title_many": N_("{shifts} shifts at {stations} stations"),
    "report.title_many_simulated": N_("{shifts} shifts at {stations} stations, simulated"),
    "report.figure": N_("{figure}"),
    "report.line": N_("{began} to {ended}; operators: {operators}; jobs: {jobs}"),
    "report.line_going_on": N_("since {began}; operators: {operators}; jobs: {jobs}"),
    "report.copies": N_(
        "{stations} are copies of one record: what they have in common is counted in each."
    ),
    "report.lost": Plural(
        N_("Event {events} of {station} cannot be read: what it recorded is missing here."),
        N_("{count} events of {station} cannot be read: {events}. What they recorded is missing."),
        "count",
    ),
    "report.lost_elsewhere": Plural(
        N_("{count} event of {station} outside these shifts cannot be read."),
        N_("{count} events of {station} outside these shifts cannot be read."),
        "count",
    ),
    "report.clock_back": N_(
        "At event {seq} the clock of {station} was set back by {minutes} min: "
        "lengths here go by the machine's own clock."
    ),
    "report.clock_on": N_(
        "At event {seq} the clock of {station} was set on by {minutes} min: "
        "lengths here go by the machine's own clock."
    ),
    "report.record": N_("Record code of {station}: {code}."),
    "report.section.made": N_("Jobs and garments"),
    "report.section.ratios": N_("Ratios by ISO 22400-2"),
    "report.section.defects": N_("Defects by class, cause and layer"),
    "report.section.lots": N_("Share with a defect"),
    "report.section.materials": N_("Defects by material"),
    "report.section.dwell": N_("Seconds over the set time, final press"),
    "report.section.times": N_("How closings and openings are known"),
    "report.section.tack": N_("Tack"),
    "report.section.peels": N_("Peels"),
    "report.section.cycles": N_("From garment to garment"),
    "report.section.moves": N_("Hands by move"),
    "report.section.checks": N_("Checks of the press"),
    "report.section.recheck": N_("To look at again"),
    "report.section.articles": N_("First garments"),
    "report.section.trials": N_("Trials of guessed settings"),
    "report.trials_reading": N_("{passed} of {of} passed"),
    "report.trial_failed": N_("failed"),
    "report.trial_piece": N_("a piece of cloth"),
    "report.trial_garment": N_("the first garment"),
    "report.section.handovers": N_("Handed over"),
    "report.approved": N_("approved"),
    "report.not_approved": N_("NOT approved"),
    "report.not_checked": N_("not checked"),
    "report.articles_reading": N_("{approved} of {of} approved; off in inches: across / along"),
    "report.handovers_reading": N_("Something was told at {told} of {count}"),
    "report.section.settings": N_("Settings used"),
    "report.section.overrides": N_("Overrides"),
    "report.section.holds": N_("Holds and what was out of the ordinary"),
    "report.section.supplies": N_("Spoiled with scrap"),
    "report.section.help": N_("Help"),
    "report.section.changes": N_("Changed since the working day before"),
    "report.made_reading": N_(
        "Good, accepted and scrap are those of these shifts; behind is against the slow"
        " end of the plan"
    ),
    "report.first_pass": N_("Good as first pressed: {part} of {whole}, {percent} %"),
    "report.first_pass_few": N_(
        "Good as first pressed: {part} of {whole}; below {least} a rate says nothing"
    ),
    "report.no_busy_time": N_(
        "No planned busy time was told: availability, allocation and OEE are left out"
    ),
    "report.not_named": N_("not named"),
    "report.bar": N_("{defect}: {cause}"),
    "report.bar_layer": N_("{defect}: {cause}, layer {layer}"),
    "report.times_reading": N_(
        "Declared comes from a tap, measured from a switch on the press, told from a person "
        "afterwards; the rest was not seen"
    ),
    "report.dwell_off": N_(
        "Steady, but {mean} s on average: set press or habit right, not single garments."
    ),
    "report.dwell_selected": N_("Most openings were not seen: these may be the odd ones."),
    "report.dwell_steady": N_("Steady, {mean} s on average: leave it as it is"),
    "report.cycles_reading": N_("From one final's tone to the next; breaks left out"),
    "report.learning": N_(
        "{recipe}: each doubling of the number made takes {percent} % of the time before"
    ),
    "report.rule.1": N_("one far outside"),
    "report.rule.2": N_("two of three far out"),
    "report.rule.3": N_("four of five on one side"),
    "report.rule.4": N_("eight in a row on one side"),
    "report.lots_worse": N_(
        "More defects than chance from sample {at} on ({rule}): ask what changed then"
    ),
    "report.lots_better": N_(
        "Fewer defects than chance from sample {at} on: find out what helped, and keep it"
    ),
    "report.lots_steady": N_(
        "{samples} samples, no more spread than chance: look at the causes that are always there"
    ),
    "report.not_scored": N_("–"),
    "report.beside_guess": N_("{before} before, {after} after"),
    "report.peels_declared": N_(
        "A peel is declared by its tap; one tapped in the next closing was at or before it"
    ),
    "report.move": N_("{recipe}: {phases}, to the {closes}"),
    "report.move_open": N_("{recipe}: {phases}"),
    "report.procedure": N_("{recipe}, {panel}, group {group}"),
    "report.panel": N_("{panel}"),
    "report.pressure": N_("{low} to {high}"),
    "report.closing": N_("{purpose} {temperature} {seconds} s"),
    "report.purpose.tack": N_("tack"),
    "report.purpose.final": N_("final press"),
    "report.passed": N_("held"),
    "report.failed": N_("FAILED"),
    "report.since_check": N_("{press}: since the last good check"),
    "report.marks": N_("{marks}"),
    "report.mark.short": N_("pressed short"),
    "report.mark.early": N_("called open too soon"),
    "report.mark.over": N_("pressed too long"),
    "report.mark.unknown": N_("end of heat not seen"),
    "report.mark.unasked": N_("heat that nothing asked for"),
    "report.mark.told": N_("time told by hand"),
    "report.mark.late": N_("hot peel late"),
    "report.setting_off": N_("The press showed {read}° where {asked}° was asked: {count} times"),
    "report.settings_reading": N_("The press was always read at the setting that was asked for"),
    "report.override.repress": N_("second final press"),
    "report.override.ruled_waiting": N_("sent back to the queue"),
    "report.override.ruled_good": N_("ruled good"),
    "report.override.ruled_accepted": N_("ruled acceptable"),
    "report.override.ruled_rework": N_("ruled rework"),
    "report.override.ruled_scrap": N_("ruled scrap"),
    "report.override.ruled_void": N_("ruled void"),
    "report.override.verification": N_("pressed without a good check of the press"),
    "report.override.first_article": N_("lot let go without its first garment approved"),
    "report.override.trial": N_("pressed a guessed setting without a trial"),
    "report.override.scrap_limit": N_("went on beyond the scrap limit"),
    "report.override.own_article": N_("first garment approved by whoever pressed it"),
    "report.override.questions": N_("job begun with open questions"),
    "report.override.no_margin": N_("job begun with no margin to the fabric's limit"),
    "report.no_reason": N_("no reason given"),
    "report.of_occasions": N_("{slips} of {occasions}"),
    "report.help_reading": N_(
        "Named at 3 slips or more on 20 occasions or more, twice as often as elsewhere;"
        " in the order of the letters"
    ),
    "report.dwell_capability": N_(
        "Allowed {low} to {high} s from the set time: Cp {cp}, Cpk {cpk}."
    ),
    "report.material_unnamed": Plural(
        N_("{count} defect names no piece on a garment of several materials"),
        N_("{count} defects name no piece on garments of several materials"),
        "count",
    ),
    "report.dwell_not_seen": Plural(
        N_(
            "Not seen: nobody told when the press opened ({count} closing). A switch on the"
            " press would show how long it really was closed"
        ),
        N_(
            "Not seen: nobody told when the press opened ({count} closings). A switch on "
            "the press would show how long it really was closed"
        ),
        "count",
    ),
    "report.dwell_told": Plural(
        N_("{count} pressed without a tap: its time was told by hand and is left out here."),
        N_("{count} pressed without a tap: their times were told by hand and are left out here."),
        "count",
    ),
    "report.dwell_known": Plural(
        N_("{measured} measured, {declared} declared, {not_seen} opening not seen and left out."),
        N_("{measured} measured, {declared} declared, {not_seen} openings not seen and left out."),
        "not_seen",
    ),
    "report.dwell_longer": Plural(
        N_(
            "{count} signal ({rule}), mostly too long, {mean} s on average: find out who or"
            " what opens late"
        ),
        N_(
            "{count} signals ({rule}), mostly too long, {mean} s on average: find out what "
            "opens late"
        ),
        "count",
    ),
    "report.dwell_shorter": Plural(
        N_(
            "{count} signal ({rule}), mostly too short, {mean} s on average: find out what "
            "opens early"
        ),
        N_(
            "{count} signals ({rule}), mostly too short, {mean} s on average: find out what"
            " opens early"
        ),
        "count",
    ),
    "report.lots_few": Plural(
        N_("{count} whole sample of {size} garments: limits need {least}"),
        N_("{count} whole samples of {size} garments: limits need {least}"),
        "count",
    ),
    "report.holds_reading": Plural(
        N_("{count} unplanned hold, {minutes} min"),
        N_("{count} unplanned holds, {minutes} min together"),
        "count",
    ),
    "report.questions": Plural(N_("{count} question"), N_("{count} questions"), "count"),
    "report.more": Plural(
        N_("and {count} more in --tables or --json"),
        N_("and {count} more in --tables or --json"),
        "count",
    ),
}

REPORT: dict[str, Sentence] = {**_EXCEPTIONS, **_SECTIONS, **ANSWERS, **HEADS, **ISO}
