"""The command line's arguments, described in a shop owner's words."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import kiosk
from kiosk.catalog.base import Notes, Unsound, read_text, readable
from kiosk.commands.usage import Parser
from kiosk.station.demo.play import SIZE_BY_NAME
from kiosk.words import Words

if TYPE_CHECKING:
    from kiosk.log.store import LogHead


Option = tuple[str, str, dict[str, Any]]  # name, message id of its help, argparse settings

_FILE: dict[str, Any] = {"type": Path, "metavar": "FILE"}
_FLAG: dict[str, Any] = {"action": "store_true"}
_JOB: Option = ("job", "help.job", {"metavar": "JOB"})
_NAME: Option = ("name", "help.name", {"metavar": "NAME"})
_LOG: Option = ("--log", "help.log_file", _FILE)
_RECIPES: Option = (
    "--recipes", "help.recipes", {"type": Path, "default": Path("recipes"), "metavar": "DIR"}
)  # fmt: skip


def parser(say: Words, only: str = "") -> argparse.ArgumentParser:
    """Return the parser of the whole command line, or of `only` one command.

    `command` in the result names the command given.
    """
    top = Parser(
        say=say, prog="kiosk", description=say("help.kiosk"), epilog=say("help.exit_codes")
    )
    commands = top.add_subparsers(
        dest="command",
        metavar="COMMAND",
        required=True,
        title=say("help.commands"),
        prog="kiosk",  # otherwise argparse computes it, which takes as long as all the rest
    )
    version, version_line = say("help.version"), f"kiosk {kiosk.__version__}"
    top.add_argument("--version", action="version", help=version, version=version_line)
    for name, options in OPTIONS.items():
        if name != (only or name):
            continue
        purpose = say(f"help.{name}")
        command = commands.add_parser(name, say=say, help=purpose, description=purpose)
        for option, id_, settings in (_RECIPES, *options):
            command.add_argument(option, help=say(id_), **_in_words(settings, say))
    return top


def _in_words(settings: dict[str, Any], say: Words) -> dict[str, Any]:
    """Return an option's settings, with its conversion error in the shop's language."""
    read = settings.get("type", Path)
    if read is Path:
        return settings

    def read_or_say(text: str) -> object:
        try:
            return read(text)
        except ValueError:
            message = say(f"help.wrong.{read.__name__.strip('_')}", found=text)
            raise argparse.ArgumentTypeError(message) from None

    return {**settings, "type": read_or_say}


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Return the parsed arguments. Raises SystemExit(2) with the usage on stderr."""
    typed = sys.argv[1:] if arguments is None else arguments
    only = typed[0] if typed and typed[0] in OPTIONS else ""
    return parser(Words(_language(typed)), only).parse_args(arguments)


def _language(typed: Sequence[str]) -> str:
    """Return the shop's language from a quick look at shop.yaml, or else that of LANG."""
    at = next((i for i, word in enumerate(typed) if word.startswith("--recipes")), None)
    folder = "recipes"
    if at is not None and "=" in typed[at]:
        folder = typed[at].partition("=")[2]
    elif at is not None:
        folder = next(iter(typed[at + 1 : at + 2]), folder)
    with suppress(Unsound):
        shop = read_text(Path(folder) / "shop.yaml", Notes(""))
        named = re.search(r"^[^#\n]*\blanguage: *(\w+)", shop, re.M)
        return "en" if named is None else named[1]
    return machine_language()


def machine_language() -> str:
    """Return the language of the machine's settings, such as `es`."""
    locale = next((os.environ[k] for k in ("LC_ALL", "LC_MESSAGES", "LANG") if k in os.environ), "")
    return locale[:2]


# Each raises ValueError for a bad value; its message id ends in the function's name.
def _count(text: str, most: float = float("inf")) -> int:
    """Read a whole number from 0 up."""
    number = int(text)
    if not 0 <= number <= most:
        raise ValueError(text)
    return number


def _port(text: str) -> int:
    """Read a port number."""
    return _count(text, 65535)


def _whole(text: str) -> int:
    """Read a whole number."""
    return int(text)


def _day(text: str) -> date:
    """Read a date, 2026-03-15."""
    return date.fromisoformat(text)


def _garment(text: str) -> str:
    """Read JOB/NUMBER."""
    job, _, number = text.rpartition("/")
    if not (job and number):
        raise ValueError(text)
    return f"{_recorded(job)}/{number}"


def _recorded(text: str) -> str:
    """Read a job, given by any path, as records name it: by its folder's name."""
    from kiosk.catalog.roster import JOB_FILE  # not needed by commands without a job

    path = Path(text)
    return readable((path.parent if path.name == JOB_FILE else path).name or text)


def _absolute(text: str) -> Path:
    """Read a folder, also one relative to the folder of the start."""
    return Path(text).absolute()


def _head(text: str) -> LogHead:
    """Read a record code, 1234:9f3a-07c2-51de-88b0."""
    from kiosk.log.store import LogHead  # not needed by commands without a log

    return LogHead.read(text)


def _seconds(text: str) -> float:
    """Read a time as 480min or 8h."""
    for unit, seconds in (("min", 60.0), ("h", 3600.0)):
        if text.strip().endswith(unit):
            total = float(text.strip().removesuffix(unit)) * seconds
            if 60.0 <= total < float("inf"):  # not so for nan
                return total
    raise ValueError(text)


_DAY: dict[str, Any] = {"type": _day, "metavar": "YYYY-MM-DD"}
_COUNT: dict[str, Any] = {"type": _count, "metavar": "N"}
_HEADS: dict[str, Any] = {"type": _head, "action": "append", "default": [], "metavar": "N:CODE"}
_GONE: dict[str, Any] = {
    "type": _recorded, "action": "append", "default": [], "metavar": "JOB"
}  # fmt: skip
_FOLDERS: dict[str, Any] = {
    "nargs": 2, "type": _absolute, "metavar": ("FOLDER", "EXAMPLES")
}  # fmt: skip
_SHOP: dict[str, Any] = {"nargs": "?", "const": "", "metavar": "CONNECTION"}
_SHIFT: dict[str, Any] = {"default": "last", "metavar": "last|ID|day|week|all"}
_WHAT: dict[str, Any] = {"choices": ["init", "add", "status"], "metavar": "init|add|status"}
OPTIONS: dict[str, tuple[Option, ...]] = {
    "run": (
        ("job", "help.job", {"nargs": "?", "metavar": "JOB"}),
        _LOG,
        ("--on-screen", "help.run.on_screen", _FLAG),
        ("--shop", "help.run.shop", _FOLDERS),
    ),
    "check": (("paths", "help.check.paths", {"nargs": "*", "type": Path, "metavar": "PATH"}),),
    "plan": (
        _JOB,
        ("--json", "help.plan.json", _FLAG),
        ("--names", "help.plan.names", _FLAG),
        ("--html", "help.plan.html", _FILE),
        ("--png", "help.plan.png", _FILE),
        ("--picks", "help.plan.picks", _FILE),
        _LOG,
    ),
    **dict.fromkeys(("material", "fabric", "press"), (_NAME,)),
    "order": (
        ("file", "help.order.file", {"type": Path, "metavar": "FILE"}),
        ("--recipe", "help.order.recipe", {"metavar": "RECIPE"}),
        ("--fabric", "help.order.fabric", {"metavar": "FABRIC"}),
        ("--press", "help.order.press", {"metavar": "PRESS"}),
        ("--film", "help.order.film", {"metavar": "ELEMENT=FILM", "action": "append"}),
        ("--name", "help.order.name", {"metavar": "NAME"}),
        ("--answers", "help.order.answers", _FILE),
        ("--names", "help.order.names", _FLAG),
    ),
    "proof": (_JOB, ("--html", "help.proof.html", _FILE)),
    "simulate": (
        _JOB,
        ("--garments", "help.simulate.garments", _COUNT),
        ("--seed", "help.simulate.seed", {"type": _whole, "default": 1, "metavar": "S"}),
        ("--acks", "help.simulate.acks", _FLAG),
        ("--log", "help.simulate.log", _FILE),
    ),
    "log": (
        ("--tail", "help.log.tail", _COUNT),
        ("--verify", "help.log.verify", _FLAG),
        ("--expect", "help.log.expect", _HEADS),
        ("--json", "help.log.json", _FLAG),
        ("--backup", "help.log.backup", {"type": Path, "metavar": "NEW"}),
        ("--export", "help.log.export", {"type": Path, "metavar": "JSONL"}),
        _LOG,
    ),
    "dispose": (("--gone", "help.dispose.gone", _GONE), _LOG),
    "report": (
        ("--shift", "help.report.shift", _SHIFT),
        ("--from", "help.report.from", {**_DAY, "dest": "first"}),
        ("--to", "help.report.to", {**_DAY, "dest": "last"}),
        ("--garment", "help.report.garment", {"type": _garment, "metavar": "JOB/NUMBER"}),
        ("--order", "help.report.order", {"type": _recorded, "metavar": "JOB"}),
        ("--people", "help.report.people", _FLAG),
        ("--busy-time", "help.report.busy_time", {"type": _seconds, "metavar": "TIME"}),
        ("--html", "help.report.html", _FILE),
        ("--csv", "help.report.csv", _FILE),
        ("--tables", "help.report.tables", _FILE),
        ("--json", "help.report.json", _FLAG),
        ("--log", "help.report.log", {**_FILE, "action": "append"}),
        ("--shop", "help.report.shop", _SHOP),
    ),
    "shop": (
        ("what", "help.shop.what", _WHAT),
        ("name", "help.shop.name", {"nargs": "?", "metavar": "NAME"}),
        ("--reader", "help.shop.reader", _FLAG),
        ("--json", "help.shop.json", _FLAG),
    ),
    "ship": (
        ("log_file", "help.log_file", {"nargs": "?", "type": Path, "metavar": "LOG"}),
        ("--follow", "help.ship.follow", _FLAG),
        ("--new-generation", "help.ship.new_generation", _FLAG),
        ("--beside", "help.ship.beside", _FLAG),
    ),
    "board": (
        ("--shop", "help.board.shop", _SHOP),
        _LOG,
        ("--host", "help.board.host", {"default": "127.0.0.1", "metavar": "ADDRESS"}),
        ("--port", "help.board.port", {"type": _port, "default": 8030, "metavar": "N"}),
        ("--token-file", "help.board.token_file", _FILE),
    ),
    "demo": (
        ("--shots", "help.demo.shots", {"type": Path, "metavar": "DIR"}),
        ("--size", "help.demo.size", {"choices": list(SIZE_BY_NAME)}),
        ("--language", "help.demo.language", {"choices": ["en", "es"], "default": ""}),
    ),
}
"""The options of each command, in the order of the help."""
