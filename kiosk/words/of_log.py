"""The sentences of the log room."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

LOG: dict[str, Sentence] = {
    "log.busy": N_(
        "The log {path} is in use: process {process} on {host} has had it since {since}. "
        "One station works on one log: close that one first, or name another log with --log."
    ),
    "log.busy_unknown": N_(
        "The log {path} is in use by another station. "
        "One station works on one log: close that one first, or name another log with --log."
    ),
    "log.cannot_record": N_("Nothing can be recorded in {path}: {why}."),
    "log.why.full": N_("the disk is full"),
    "log.why.read_only": N_("this place may only be read; the log needs one that can be written"),
    "log.why.cannot_open": N_("the file or its folder cannot be opened"),
    "log.why.held": N_("another program holds the file; close it there"),
    "log.why.disk": N_("the disk reports a fault"),
    "log.damaged": N_(
        "The log {path} is damaged ({found}). "
        "The station sets it aside whole and goes on with what can be read."
    ),
    "log.rotten": N_("Event {seq} of the log {path} cannot be read: its bytes have changed."),
    "log.not_a_log": N_("{path} is not a station's log; it is left as it is."),
    "log.backup_there": N_("{path} is there already. Choose a new name for the copy."),
    "log.not_there": N_("There is no log at {path}."),
    "log.empty": N_("Nothing has been recorded yet in the log {path}."),
    "log.older": N_(
        "The log {path} is from an older program. Start the station on it once, then read it."
    ),
    "log.newer": N_(
        "The log {path} was written by a newer program ({found}). Install that version here."
    ),
    "log.is_simulated": N_(
        "{path} is a simulation's log; a station never works on it. Name another with --log."
    ),
    "log.not_simulated": N_(
        "{path} is a real station's log; a simulation never writes to it. Name another with --log."
    ),
    "log.displaced": N_(
        "{path} was moved or deleted while the station has it open: "
        "nothing that is recorded now would be found."
    ),
    "log.kept": N_(
        "NOT RECORDED: {path} was moved or deleted. All of it is kept in {kept}. "
        "Finish this garment, then restart the station."
    ),
    "log.taken_up": N_(
        "The record {path} was moved or deleted while the station ran. It goes on from {kept}, "
        "with every event; what was left at its place is in {aside}."
    ),
    "log.kept_beside": N_(
        "{kept} has events that the record {path} lacks: another record is in its place. "
        "Keep both, and ask who moved them."
    ),
    "log.no_file": N_(
        "{part} is no file, so the record {path} cannot be opened. Move it away, then try again."
    ),
    "log.fault.file": N_("The file is not whole: {found}."),
    "log.fault.missing": N_("Events {first} to {last} are missing."),
    "log.fault.more": N_("{count} more faults like these."),
    "log.fault.chain": N_(
        "Event {seq} does not follow from the one before it: "
        "something here was changed, removed or put in."
    ),
    "log.fault.cut": N_(
        "The record code names event {seq}, which is gone: the record ends at event {last}."
    ),
    "log.fault.other": N_(
        "Event {seq} is not the one the record code names: the record has {found}. "
        "It was changed, or this is another record."
    ),
    "log.fault.checkpoint": N_("The state stored after event {seq} is not what a replay gives."),
    "log.fault.tickets": N_(
        "The rows of tickets stored after event {seq} are not what a replay gives."
    ),
    "log.fault.ticket": N_("What is stored of ticket {ticket} is no row of a ticket."),
    "log.mended": N_(
        "The log was damaged. {kept} events could be read ({behind_gap} of them from behind a "
        "gap); the damaged files are in {aside}. What became of open garments is unknown: "
        "a supervisor must look at each and mark it."
    ),
    "refuse.not_recorded": N_("Not recorded: finish this garment, start no new one"),
}
