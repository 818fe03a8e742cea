"""The sentences of the command line."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence
from kiosk.words.of_picks import PICKS

COMMANDS: dict[str, Sentence] = {
    "command.dispose.elsewhere": N_(
        "Out of reach: backups, mail, printed lists, copies that other programs made."
    ),
    "command.nothing_due": N_("No job was closed 30 days ago: no name to delete."),
    "command.log.backed_up": Plural(
        N_("{path} holds {count} event. Record code: {head}"),
        N_("{path} holds {count} events. Record code: {head}"),
        "count",
    ),
    "command.log.exported": Plural(
        N_("{path} has {count} line, one an event."),
        N_("{path} has {count} lines, one an event."),
        "count",
    ),
    **PICKS,
    "command.check.clean": N_("No faults. Recipes read: {recipes}, jobs: {jobs}"),
    "command.plan.job": N_("recipe {recipe}, fabric {fabric}, press {press}"),
    "command.plan.garments": Plural(N_("{count} garment"), N_("{count} garments"), "count"),
    "command.plan.run_together": N_("Garment by garment: {passes}"),
    "command.plan.run_lot": N_("The whole lot: {passes}"),
    "command.plan.setting": N_("Press at {temperature}"),
    "command.plan.setting_change": N_(
        "Press to {temperature}: wait until it has settled, then read it"
    ),
    "command.plan.usable": N_("usable: {low} to {high} {unit} with {least} to {most} s"),
    "command.plan.trial": N_(
        "The station asks for a trial of what is a guess before the first garment"
    ),
    "command.plan.changed": N_("changed from normal: {changed}"),
    "command.plan.warning": N_("mind: {warning}"),
    "command.plan.clock": N_("{seconds} s"),
    "command.plan.order": Plural(
        N_("Order of work, {changes} change of size: {order}"),
        N_("Order of work, {changes} changes of size: {order}"),
        "changes",
    ),
    "command.plan.twins_beside": N_(
        "{first} and {second} read as each other upside down and cannot be kept apart"
    ),
    "command.plan.taps": N_("Taps a garment, once signed off: {taps}"),
    "command.plan.minutes": N_("Time: {low} to {high} minutes"),
    "command.plan.own": N_(
        "by this shop's own past: the middle half of {count} garments, from one tone to the next"
    ),
    "command.plan.page_title": N_("Plan: {title}"),
    "command.plan.page_written": N_("The page is in {path}"),
    "command.plan.picture_written": N_("The picture is in {path}"),
    "command.plan.no_pictures": N_(
        "A picture needs matplotlib, which is not installed: pip install '.[pictures]'"
    ),
    "command.plan.column.phase": N_("Phase"),
    "command.plan.column.clock": N_("Clock"),
    "command.plan.column.what": N_("What to do"),
    "command.plan.column.why": N_("Why"),
    "command.plan.places": Plural(
        N_("The rack needs {count} flat place"),
        N_("The rack needs {count} flat places"),
        "count",
    ),
    "command.plan.assumed": N_(
        "typical handling times (common practice, no source): "
        "load {load} s, lay {lay} s a piece, carrier {carrier} s a piece, peel {peel} s a piece, "
        "look over {inspect} s, another temperature {settle} min"
    ),
    "command.plan.sources": N_("Where the numbers come from"),
    "command.plan.pull": N_("Pull"),
    "command.plan.pick": N_("{panel} {element}, layer {layer}, {colour} {material}, {height}"),
    "command.plan.pieces": N_("{count} pieces"),
    "command.plan.names": N_("Names"),
    "command.plan.refused": N_("This job cannot be pressed as it stands."),
    "command.plan.would_do": N_("would do: {change}"),
    "command.demo.no_jobs": N_("The demo plays the jobs in {jobs}, and there are none there"),
    "command.no_output": N_("The output cannot be written: {why}"),
    "command.twice": N_("{path} is named for two files: choose two names"),
    "command.cannot_write": N_("{path} cannot be written: {why}"),
    "command.report.none": N_("Nobody has signed on yet in this log: there is nothing to report"),
    "command.report.no_shift": N_("There is no shift {asked} in this log; it has: {known}"),
    "command.simulate.made": Plural(
        N_("{count} garment made; the record is {path}"),
        N_("{count} garments made; the record is {path}"),
        "count",
    ),
}
