"""What `kiosk --help` says of each command and option."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

HELP: dict[str, Sentence] = {
    "help.job": N_("the job's folder, its job.yaml, or its name under shared/jobs"),
    "help.kiosk": N_("Holds the plan and the clock at a flat heat press, and keeps its record."),
    "help.exit_codes": N_(
        "Exit codes: 0 done; 1 the files have faults, all named on stderr; 2 wrong usage; 3 "
        "the job cannot be pressed, and why is printed."
    ),
    "help.recipes": N_("the folder with materials, fabrics, shop and recipes (default: ./recipes)"),
    "help.log_file": N_("the station's record (default: in the user's data folder)"),
    "help.run": N_("Open the station on the whole screen."),
    "help.check": N_("Read recipes and jobs, and print every fault in them."),
    "help.check.paths": N_(
        "recipes folders, folders that hold jobs (three levels down at most), job folders or "
        "job.yaml files (default: --recipes and every job under shared/jobs)"
    ),
    "help.plan": N_("Show how a job is pressed: settings, steps, taps, what to pull, time."),
    "help.plan.json": N_("print one JSON object for programs"),
    "help.plan.names": N_("list the players' names as well"),
    "help.plan.picks": N_("write the pick list and the bag labels into an HTML file to print"),
    "help.simulate": N_(
        "Let a made-up operator press a job in simulated time, into a log of its own."
    ),
    "help.simulate.garments": N_("stop after N garments (default: the roster)"),
    "help.simulate.seed": N_("another shift, as made up"),
    "help.simulate.acks": N_("print each event's number once it is on disk"),
    "help.simulate.log": N_(
        "the simulation's record (default: simulated.sqlite3 in the user's data folder)"
    ),
    "help.log": N_("Print the station's record, or check that it is whole."),
    "help.log.tail": N_("only the last N events"),
    "help.log.verify": N_("check the file and replay it"),
    "help.log.expect": N_(
        "with --verify: the record code that a report, a hand-over or a copy showed; "
        "events cut off or changed since then are told"
    ),
    "help.log.json": N_("print a JSON object a line, for programs"),
    "help.log.backup": N_(
        "copy the record to a new file, also while a station runs; "
        "to restore, start with --log on the copy"
    ),
    "help.log.export": N_("write a JSON object a line into a file"),
    "help.dispose.gone": N_("this job's folder was deleted, names and all: stop asking for it"),
    "help.dispose": N_(
        "Delete the names of players from the rosters of jobs closed 30 days ago. "
        "The station does so itself at every start."
    ),
    "help.report": N_("Say what a shift made, and what went wrong."),
    "help.report.shift": N_(
        "which shift, or all of the last day, of the seven days up to it, of the log "
        "(default: the last one)"
    ),
    "help.report.busy_time": N_(
        "the planned busy time of ISO 22400-2, as 480min or 8h, all stations together; "
        "without it the ratios that need it are left out"
    ),
    "help.report.html": N_("write a page to print or keep"),
    "help.report.csv": N_("write a row for each garment"),
    "help.report.tables": N_("write all tables as CSV"),
    "help.report.json": N_("print JSON for programs"),
    "help.report.log": N_(
        "a station's record; may be given several times (default: in the user's data folder)"
    ),
    "help.demo": N_("Play a short shift through the real screens."),
    "help.demo.shots": N_("keep a picture of every screen, in all sizes"),
    "help.demo.size": N_("only this size, in pixels"),
    "help.plan.html": N_(
        "write the plan as one page to print, with the garment's temperatures drawn (needs "
        "matplotlib)"
    ),
    "help.plan.png": N_(
        "write the picture alone, with the garment's temperatures drawn (needs matplotlib)"
    ),
    "help.help": N_("show this help and exit"),
    "help.usage": N_("usage:"),
    "help.options": N_("options"),
    "help.arguments": N_("arguments"),
    "help.commands": N_("commands"),
}
