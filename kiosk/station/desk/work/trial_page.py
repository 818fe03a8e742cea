"""Pages of a setting that rests on a guess: how to try it, and the card of what was found."""

from kiosk.catalog.base import Message
from kiosk.run.facts import LOOKS, final_setting, pass_of, slot_ticket, untried
from kiosk.run.state import Demand, JobRun, Overruled, commands
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button, Sheet, cautions
from kiosk.station.desk.work.checks import Checks
from kiosk.station.desk.work.trial import Trial
from kiosk.words import Words
from kiosk.words.speak import TOUCH


def trial(desk: Desk, words: Words) -> Sheet:
    """What to do about a setting that nobody has tried, or the next look at the piece."""
    job = desk.shell.state.job
    if job is None:
        return Sheet(words("move.trial"), left=Button(words("page.back"), desk.go_on))
    if desk.of(Trial).press is None or not desk.of(Trial).pressed:
        return _begin(desk, words, job)
    if len(desk.of(Trial).looks) < len(LOOKS):
        return _look(desk, words)
    return _sum(desk, words)


def _begin(desk: Desk, words: Words, job: JobRun) -> Sheet:
    ticket = slot_ticket(job)
    guessed = () if ticket is None else untried(job.plan, pass_of(job, ticket))
    owners = tuple(each.key for each in guessed)
    return Sheet(
        title=words("page.trial"),
        lines=(
            words("page.trial.guessed", owners=owners, setting=_setting(job)),
            words("page.trial.what"),
        ),
        choices=(
            Button(words("page.trial.piece"), desk.of(Trial).begin, words("page.trial.piece_line")),
            Button(
                words("page.trial.first"), desk.of(Trial).with_first, words("page.trial.first_line")
            ),
        ),
        left=Button(words("page.hold"), lambda: desk.shell.work(commands.HoldOn())),
        right=_waive(desk, words, job),
    )


def _setting(job: JobRun) -> Message | None:
    """The setting that the garment at hand would be pressed at."""
    ticket = slot_ticket(job)
    return None if ticket is None else final_setting(job.plan, pass_of(job, ticket))


def _waive(desk: Desk, words: Words, job: JobRun) -> Button | None:
    if job.rules.trial is Demand.REQUIRED:
        return None
    return Button(words("page.let_pass"), lambda: desk.of(Checks).let_pass(Overruled.TRIAL))


def _look(desk: Desk, words: Words) -> Sheet:
    look = LOOKS[len(desk.of(Trial).looks)]
    card = desk.of(Trial)
    return Sheet(
        title=words(f"page.lot.look.{look}"),
        lines=(words(f"page.lot.how.{look}"),),
        choices=(
            Button(words(f"page.lot.free.{look}"), lambda: card.look(False)),
            Button(words(f"page.lot.found.{look}"), lambda: card.look(True)),
        ),
        left=Button(words("page.back"), card.back),
        cautions=cautions(words, TOUCH),
    )


def _sum(desk: Desk, words: Words) -> Sheet:
    faults = tuple(words(f"page.lot.found.{fault}") for fault in desk.of(Trial).faults)
    by = desk.shell.state.operator
    if faults:
        lines = (words("page.trial.faults", faults=faults), words("page.trial.failed_line"))
    else:
        lines = (words("page.trial.no_faults"), words("page.trial.passed_line"))
    return Sheet(
        title=words("page.trial.failed" if faults else "page.trial.passed"),
        lines=lines,
        main=Button(words("page.trial.write", operator=by), desk.of(Trial).judge),
        left=Button(words("page.back"), desk.of(Trial).back),
    )
