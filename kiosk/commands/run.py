"""`kiosk run`: the station; `kiosk demo`: a short shift; `kiosk simulate`: a made-up operator."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Message, say
from kiosk.commands import CANNOT_BE_PRESSED, DONE, FAULTS, JOBS

if TYPE_CHECKING:
    from kiosk.catalog.model import StationSettings
    from kiosk.commands.load import LoadedJob
    from kiosk.log.record import Recorder
    from kiosk.log.rescue import Salvage
    from kiosk.log.store import LogFault
    from kiosk.plan.model import Plan
    from kiosk.train.made_up_operator import SimulatedOrder
    from kiosk.words import Words


def run(options: Namespace) -> int:
    """Run the station until its supervisor leaves it; or play the demo; or simulate.

    Each imports what it needs itself, so that a station opens quickly.
    """
    return {"run": _station, "demo": _demo, "simulate": _simulation}[options.command](options)


def _station(options: Namespace) -> int:
    """Run the station; the shop's language is read only when there is something to print."""
    from kiosk.commands.first_shop import enter
    from kiosk.log import default_log
    from kiosk.log.store import LogFault

    def words() -> Words:
        from kiosk.commands.load import shop_words

        return shop_words(options)

    def progress(done: int, total: int) -> None:
        from kiosk.commands.load import progress_to_stderr

        progress_to_stderr(words)(done, total)

    if not _has_screen():
        print(words()("command.run.no_screen"), file=sys.stderr)
        return FAULTS
    began_in = Path.cwd()
    try:
        if options.shop is not None:
            enter(*options.shop)
        job = None if options.job is None else _job_folder(options.job, words)
        if options.job is not None and job is None:
            return FAULTS
        from kiosk.station.glass.open import run_station  # opens a window, so only when needed

        ended = run_station(options.recipes, JOBS, options.log or default_log(), job, progress)
    except LogFault as fault:
        print(words().say(fault.message), file=sys.stderr)
        if _show_on_screen(options, fault):
            os.chdir(began_in)
            os.execv(sys.executable, [sys.executable, *sys.orig_argv[1:]])  # one window a process
        return FAULTS
    for message in _at_end(*ended):
        print(words().say(message), file=sys.stderr)
    return DONE


def _at_end(mended: Salvage | None, recorder: Recorder) -> Iterator[Message]:
    """Yield what became of the record: mended at the start, or events not in it at the end."""
    if mended is not None:
        yield mended.message
    if count := recorder.unrecorded:
        kept = {} if recorder.kept is None else {"path": str(recorder.kept.path)}
        yield say("command.run.kept" if kept else "command.run.lost", count=count, **kept)


def _show_on_screen(options: Namespace, fault: LogFault) -> bool:
    """Show a fault in a window for a start by icon; a station already running stays on top.

    Return whether the record can be opened after all, as on a disk that was full.
    """
    from kiosk.log.store import Busy, CannotRecord, WrongLog

    if not options.on_screen or isinstance(fault, Busy | WrongLog):
        return False
    from kiosk.station.glass.open import say_not_opened

    waits = isinstance(fault, CannotRecord) and "ANDROID_ARGUMENT" not in os.environ
    opens = partial(_opens, options) if waits else None
    return say_not_opened(fault, _screen_settings(options), opens)


def _screen_settings(options: Namespace) -> StationSettings:
    """Return the shop's screen; before there is a shop, one in the machine's language."""
    from kiosk.catalog.read import read_catalog
    from kiosk.commands.arguments import machine_language

    if options.shop is None or options.shop[0].is_dir():
        return read_catalog(options.recipes)[0].station
    station = read_catalog(options.shop[1] / "recipes")[0].station
    return replace(station, language=machine_language())


def _opens(options: Namespace) -> bool:
    """Return whether a station could open shop and record, or find another fault than before."""
    from kiosk.commands.first_shop import enter
    from kiosk.log import default_log
    from kiosk.log.facts import LONG
    from kiosk.log.record import Recorder
    from kiosk.log.store import CannotRecord, LogFault, Store

    try:
        if options.shop is not None:
            enter(*options.shop)
        Recorder(Store.open(options.log or default_log()), at_once=LONG).close()
    except CannotRecord:
        return False
    except LogFault:
        return True
    return True


def _has_screen() -> bool:
    """Whether a window would be visible: without a display SDL draws off screen."""
    names = ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER", "ANDROID_ARGUMENT")
    has_name = any(map(os.environ.get, names))
    return has_name or sys.platform != "linux" or any(Path("/dev/dri").glob("card*"))


def _job_folder(name: str, words: Callable[[], Words]) -> Path | None:
    """Return the folder of a job, or None after printing that there is none."""
    from kiosk.catalog.read import JobNotFoundError, find_job
    from kiosk.commands.load import print_faults

    try:
        return find_job(name, JOBS)
    except JobNotFoundError as error:
        print_faults((error.fault,), words())
        return None


def _demo(options: Namespace) -> int:
    """Play the demo on copies of recipes and jobs; print the path of each picture."""
    from kiosk.catalog.read import list_jobs, read_catalog
    from kiosk.commands.load import has_error, print_faults
    from kiosk.station.demo.play import SIZE_BY_NAME, SIZES, DemoFailed, play
    from kiosk.words import Words

    catalog, faults = read_catalog(options.recipes)
    words = Words(options.language or catalog.station.language)
    print_faults(faults, words)
    if has_error(faults):
        return FAULTS
    if not list_jobs(JOBS):
        print(words("command.demo.no_jobs", jobs=str(JOBS)), file=sys.stderr)
        return FAULTS
    if options.shots is not None and not _can_write(options.shots, words):
        return FAULTS
    try:
        sizes = (SIZE_BY_NAME[options.size],) if options.size else SIZES
        print_line = partial(print, flush=True)
        play(options.recipes, JOBS, options.shots, print_line, sizes, options.language)
    except DemoFailed as failed:
        stopped = words("command.demo.stopped", size=failed.size, why=failed.why)
        print(stopped, file=sys.stderr)
        return FAULTS
    return DONE


def _can_write(folder: Path, words: Words) -> bool:
    """Make the pictures' folder; if that fails, print why before anything is played."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        from kiosk.catalog.base import why_of

        print(words("command.cannot_write", path=str(folder), why=why_of(error)), file=sys.stderr)
        return False
    return True


def _simulation(options: Namespace) -> int:
    """Press the job in simulated time, continuing where the log left off."""
    from kiosk.catalog.roster import may_record_name
    from kiosk.catalog.rules import read_face
    from kiosk.commands.load import load
    from kiosk.commands.plan import text as plan_text
    from kiosk.log.store import LogFault
    from kiosk.plan.model import PanelRefusal
    from kiosk.plan.procedure import plan_job

    loaded = load(options.job, options.recipes)
    if loaded is None or any(map(may_record_name, loaded.questions)):
        return FAULTS
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    if isinstance(plan, PanelRefusal):
        print(plan_text.of_refusal(plan, loaded.words))
        return CANNOT_BE_PRESSED
    path = options.log or default_simulated_log()
    try:
        count = _simulate(options, order_of(loaded, plan), path, loaded)
    except LogFault as fault:
        print(loaded.words.say(fault.message), file=sys.stderr)
        return FAULTS
    if not options.acks:
        print(loaded.words("command.simulate.made", count=count, path=str(path)))
    return DONE


def default_simulated_log() -> Path:
    """Return the path of the simulated record, beside the station's log."""
    from kiosk.log import default_log

    return default_log().with_name("simulated.sqlite3")


def order_of(loaded: LoadedJob, plan: Plan) -> SimulatedOrder:
    """Return the job as the log may record it: without names, in the order of work."""
    from kiosk.plan.fingerprint import fingerprint
    from kiosk.plan.time import in_order
    from kiosk.run.state import rules_of
    from kiosk.station.desk.jobs.library import garment
    from kiosk.train.made_up_operator import SimulatedOrder

    return SimulatedOrder(
        loaded.job.key,
        plan,
        fingerprint(plan),
        tuple(map(garment, in_order(loaded.job.roster).garments)),
        rules_of(loaded.catalog.policy, loaded.catalog.presses[loaded.job.press]),
        loaded.job.due,
        loaded.job.lots,
    )


def _simulate(options: Namespace, order: SimulatedOrder, path: Path, loaded: LoadedJob) -> int:
    from kiosk.commands.load import progress_to_stderr
    from kiosk.log.record import start
    from kiosk.log.store import now
    from kiosk.peel.worker import follow
    from kiosk.train.made_up_operator import simulate

    recorder, mended = start(
        path, now(), simulated=True, progress=progress_to_stderr(lambda: loaded.words)
    )
    try:
        if mended is not None:
            print(loaded.words.say(mended.message), file=sys.stderr)
        acks = partial(print, flush=True) if options.acks else lambda seq: None
        return simulate(recorder, order, options.seed, options.garments, acks, follow=follow)
    finally:
        recorder.close()
