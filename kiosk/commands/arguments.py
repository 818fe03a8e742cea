"""What can be typed after `kiosk`, in a shop owner's words."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

JOB_HELP = "the job's folder, its job.yaml, or its name under shared/jobs"


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line; `command` names what was asked for."""
    top = argparse.ArgumentParser(
        prog="kiosk",
        description="Holds the plan and the clock at a flat heat press, and keeps its record.",
        epilog="Exit codes: 0 done; 1 the files have faults, all named on stderr; 2 wrong usage; "
        "3 the job cannot be pressed, and why is printed.",
    )
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    _run(commands)
    _check(commands)
    _plan(commands)
    _simulate(commands)
    _log(commands)
    _dispose(commands)
    _report(commands)
    _demo(commands)
    return top


Commands = argparse._SubParsersAction  # argparse gives it no public name


def _add(commands: Commands, name: str, what: str) -> argparse.ArgumentParser:  # type: ignore[type-arg] # see Commands
    made: argparse.ArgumentParser = commands.add_parser(name, help=what, description=what)
    made.add_argument(
        "--recipes",
        type=Path,
        default=Path("recipes"),
        metavar="DIR",
        help="the folder with materials, fabrics, shop and recipes (default: ./recipes)",
    )
    return made


def _log_file(made: argparse.ArgumentParser) -> None:
    made.add_argument(
        "--log",
        type=Path,
        metavar="FILE",
        help="the station's record (default: in the user's data folder)",
    )


def _run(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "run", "Open the station on the whole screen.")
    made.add_argument("job", nargs="?", metavar="JOB", help=JOB_HELP)
    _log_file(made)


def _check(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "check", "Read recipes and jobs, and print every fault in them.")
    made.add_argument(
        "paths",
        nargs="*",
        type=Path,
        metavar="PATH",
        help="recipes folders, folders that hold jobs (three levels down at most), job folders or "
        "job.yaml files "
        "(default: --recipes and every job under shared/jobs)",
    )


def _plan(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(
        commands, "plan", "Show how a job is pressed: settings, steps, taps, what to pull, time."
    )
    made.add_argument("job", metavar="JOB", help=JOB_HELP)
    made.add_argument("--json", action="store_true", help="print one JSON object for programs")
    made.add_argument("--names", action="store_true", help="list the players' names as well")
    for name, what in (("html", "the plan as one page to print"), ("png", "the picture alone")):
        made.add_argument(
            f"--{name}",
            type=Path,
            metavar="FILE",
            help=f"write {what}, with the garment's temperatures drawn (needs matplotlib)",
        )
    made.add_argument(
        "--picks",
        type=Path,
        metavar="FILE",
        help="write the pick list and the bag labels into an HTML file to print",
    )
    _log_file(made)


def _simulate(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(
        commands,
        "simulate",
        "Let a made-up operator press a job in simulated time, into a log of its own.",
    )
    made.add_argument("job", metavar="JOB", help=JOB_HELP)
    made.add_argument(
        "--garments", type=_count, metavar="N", help="stop after N garments (default: the roster)"
    )
    made.add_argument("--seed", type=int, default=1, metavar="S", help="another shift, as made up")
    made.add_argument(
        "--acks", action="store_true", help="print each event's number once it is on disk"
    )
    made.add_argument(
        "--log",
        type=Path,
        metavar="FILE",
        help="the simulation's record (default: simulated.sqlite3 in the user's data folder)",
    )


def _log(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "log", "Print the station's record, or check that it is whole.")
    made.add_argument("--tail", type=_count, metavar="N", help="only the last N events")
    made.add_argument("--verify", action="store_true", help="check the file and replay it")
    made.add_argument(
        "--json", action="store_true", help="print a JSON object a line, for programs"
    )
    made.add_argument(
        "--backup",
        type=Path,
        metavar="NEW",
        help="copy the record to a new file, also while a station runs; "
        "to restore, start with --log on the copy",
    )
    made.add_argument(
        "--export", type=Path, metavar="JSONL", help="write a JSON object a line into a file"
    )
    _log_file(made)


def _dispose(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(
        commands,
        "dispose",
        "Delete the names of players from the rosters of jobs closed 30 days ago. "
        "The station does so itself at every start.",
    )
    _log_file(made)


def _report(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "report", "Say what a shift made, and what went wrong.")
    made.add_argument(
        "--shift",
        default="last",
        metavar="last|ID|day|week|all",
        help="which shift, or all of the last day, of the seven days up to it, of the log "
        "(default: the last one)",
    )
    made.add_argument(
        "--busy-time",
        type=_seconds,
        metavar="TIME",
        help="the planned busy time of ISO 22400-2, as 480min or 8h, all stations together; "
        "without it the ratios that need it are left out",
    )
    made.add_argument("--html", type=Path, metavar="FILE", help="write a page to print or keep")
    made.add_argument("--csv", type=Path, metavar="FILE", help="write a row for each garment")
    made.add_argument("--tables", type=Path, metavar="FILE", help="write all tables as CSV")
    made.add_argument("--json", action="store_true", help="print JSON for programs")
    made.add_argument(
        "--log",
        type=Path,
        action="append",
        metavar="FILE",
        help="a station's record; may be given several times (default: in the user's data folder)",
    )


def _demo(commands: Commands) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "demo", "Play a short shift through the real screens.")
    made.add_argument("--shots", type=Path, metavar="DIR", help="keep a picture of every screen")


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Return what was asked for. Raises SystemExit(2) with the usage on stderr."""
    return parser().parse_args(arguments)


def _count(text: str) -> int:
    """Read a whole number from 0 up. Raises ValueError, which argparse puts into words."""
    number = int(text)
    if number < 0:
        raise argparse.ArgumentTypeError(f"a number from 0 up is asked for, not {text}")
    return number


_count.__name__ = "number"  # argparse says "invalid number value"


def _seconds(text: str) -> float:
    """Read a time as 480min or 8h. Raises ValueError, which argparse puts into words."""
    for unit, seconds in (("min", 60.0), ("h", 3600.0)):
        if text.strip().endswith(unit):
            return float(text.strip().removesuffix(unit)) * seconds
    raise ValueError(text)


_seconds.__name__ = "time"
