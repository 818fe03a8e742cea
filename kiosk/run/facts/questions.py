"""What the station is doing; what must be read back before heat because it changed."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from hashlib import blake2b

from kiosk.catalog.model import BY_CODE, Demand
from kiosk.catalog.roster import has_twin, twin
from kiosk.run.facts.checks import check_due, lot_hold
from kiosk.run.facts.hands import had_break
from kiosk.run.facts.moves import setting_due
from kiosk.run.facts.tickets import is_first_pass, run_of
from kiosk.run.facts.trials import trial_due
from kiosk.run.state import (
    Heat,
    JobRun,
    Now,
    Question,
    QuestionCause,
    QuestionKind,
    State,
    Ticket,
    replace,
)


def kind_of(state: State, now: Now) -> ScreenKind:
    """Return what a settled station is doing at `now`; heat takes precedence."""
    if state.last is None or state.boot != now.boot:
        return ScreenKind.NEW
    if state.heat is not None:
        return _of_heat(state.heat, state.asked_closed)
    if state.open_first:
        return ScreenKind.OPEN_FIRST
    if not state.operator:
        return ScreenKind.OFF
    if state.held is not None:
        return ScreenKind.HELD
    return ScreenKind.IDLE if state.job is None else _of_job(state, state.job)


def _of_heat(heat: Heat, asked_closed: bool) -> ScreenKind:
    if heat.dwell_seconds is None:
        return ScreenKind.UNASKED
    if heat.rang:
        return ScreenKind.OVER
    return ScreenKind.ASK_CLOSED if asked_closed else ScreenKind.HEAT


def _of_job(state: State, job: JobRun) -> ScreenKind:
    if not job.slot:
        return (
            ScreenKind.HANDS if job.rack else ScreenKind.LOT if lot_hold(job) else ScreenKind.DONE
        )
    if setting_due(job) is not None:
        return ScreenKind.SETTING
    if job.rules.verify is not Demand.NO and check_due(state, job):
        return ScreenKind.VERIFY
    if job.rules.trial is not Demand.NO and trial_due(job):
        return ScreenKind.TRIAL
    return ScreenKind.ASK if job.questions else ScreenKind.HANDS


class ScreenKind(Enum):
    """What the station is doing: one screen each; the last three have no job."""

    HANDS = "hands"  # light: your turn
    HEAT = "heat"  # dark: the press's turn
    OVER = "over"  # dark and amber: past the deadline, opening not yet seen or declared
    UNASKED = "unasked"  # dark and amber: closed although nothing asked for it
    ASK = "ask"  # light: read it from the garment and enter it
    ASK_CLOSED = "ask closed"  # light: was it closed?
    OPEN_FIRST = "open first"  # light: OPEN THE PRESS after a start in a hot phase
    HELD = "held"  # light: on hold
    SETTING = "setting"  # light: set the press, enter what it shows
    VERIFY = "verify"  # light: the press must be checked at its setting
    TRIAL = "trial"  # light: the setting is based on guesses, and nobody has tried it yet
    LOT = "lot"  # light: no garment is called until a person has looked at the lot
    DONE = "done"  # light: every ticket has a result (or only rework and stopped ones are left)
    IDLE = "idle"  # no job at the press
    OFF = "off"  # nobody has signed on
    NEW = "new"  # the program has not started on this record since the boot


class BarOwner(Enum):
    """What the forward bar acts on."""

    PRESS = "press"
    RACK = "rack"
    OVER = "over"  # amber
    NOBODY = "nobody"  # pressing it is refused with a dull click


def question_at_hand(job: JobRun) -> Question | None:
    """Return the question to answer now, the setting first, then the slot's ticket's; None if none.

    The SETTING question is not stored: it exists as long as `setting_due`, has no choices and is
    answered by ReadSetting.
    """
    required = setting_due(job)
    if required is not None:
        return Question(job.slot, QuestionKind.SETTING, QuestionCause.SETTING, (), str(required))
    return job.questions[0] if job.questions else None


def questions_for(state: State, job: JobRun, ticket: Ticket, now: Now) -> tuple[Question, ...]:
    """Return the questions for a ticket being called: at most one size and one number."""
    questions = []
    last = job.tickets.get(job.last_loaded)
    if ticket.garment.size and (last is None or last.garment.size != ticket.garment.size):
        sizes = size_choices(job, ticket.garment.size)
        questions.append(
            _question(ticket, QuestionKind.SIZE, QuestionCause.SIZE, sizes, ticket.garment.size)
        )
    because = _why_number(state, job, ticket, now)
    if because is not None and ticket.garment.number:
        questions.append(number_question(job, ticket, because))
    return tuple(questions)


def number_question(job: JobRun, ticket: Ticket, because: QuestionCause) -> Question:
    """Return the question about the number of a ticket's garment."""
    number = ticket.garment.number
    return _question(ticket, QuestionKind.NUMBER, because, number_choices(job, number), number)


def asked_again(question: Question) -> Question:
    """Return a question after a wrong answer: one more try, with its choices reordered."""
    tries = question.tries + 1
    choices = shuffled(question.choices, question.ticket, tries)
    return replace(question, tries=tries, choices=choices)


def _why_number(state: State, job: JobRun, ticket: Ticket, now: Now) -> QuestionCause | None:
    if state.changed_operator:
        return QuestionCause.OPERATOR
    if had_break(state, now):
        return QuestionCause.BREAK
    begun = ticket.opened is not None and ticket.id != job.last_loaded
    later = run_of(job.plan, ticket.passage) and not is_first_pass(job, ticket)
    if begun or ticket.finals or (later and not _in_hand(job, ticket)):
        return QuestionCause.LATER_PASS
    numbers = {t.garment.number for t in job.tickets.values()}
    return QuestionCause.TWIN if has_twin(ticket.garment.number, numbers) else None


def _in_hand(job: JobRun, ticket: Ticket) -> bool:
    """Whether the same garment was loaded last, in the pass right before this one."""
    last = job.tickets.get(job.last_loaded)
    runs = [] if last is None else [run_of(job.plan, t.passage) for t in (last, ticket)]
    if last is None or last.passage == ticket.passage or runs[0] != runs[1]:
        return False
    return (last.garment.line, last.copy) == (ticket.garment.line, ticket.copy)


def _question(
    ticket: Ticket, ask: QuestionKind, because: QuestionCause, choices: tuple[str, ...], right: str
) -> Question:
    return Question(ticket.id, ask, because, shuffled(choices, ticket.id, 0), right)


MOST_SIZES = 8
FEWEST_SIZES = 4
NUMBERS = 6

SIZES = (
    *("YXS", "YS", "YM", "YL", "YXL"),
    *("XXS", "XS", "S", "M", "L", "XL", "XXL", "2XL", "3XL", "4XL", "5XL"),
)
"""Size codes in growing order: common practice, no source. Only fills up short lists."""

CODES = tuple(size.code for size in sorted(BY_CODE.values(), key=lambda size: size.rank))
"""The shop's own codes (AL is an adult L), in growing order."""


def size_choices(job: JobRun, right: str) -> tuple[str, ...]:
    """Return up to 8 size codes including `right`: the job's, padded with neighbours if few."""
    sizes = {t.garment.size for t in job.tickets.values()} - {right, ""}
    near = sorted(sizes, key=lambda size: (_steps_between(size, right), size))
    found = _distinct((right, *near), MOST_SIZES)
    if len(found) >= FEWEST_SIZES:
        return found
    usual = sorted(_table(right), key=lambda size: _steps_between(size, right))
    return _distinct((*found, *usual), FEWEST_SIZES)


def number_choices(job: JobRun, right: str) -> tuple[str, ...]:
    """Return 6 numbers including `right`: its twin, its digits reversed, the job's most similar."""
    others = {t.garment.number for t in job.tickets.values()} - {right, ""}
    similar = sorted(others, key=lambda n: (-_likeness(n, right), n))
    lookalikes = [twin(right) or "", right[::-1]]
    return _distinct((right, *lookalikes, *similar, *_neighbours(right)), NUMBERS)


def shuffled(choices: Iterable[str], ticket: str, tries: int) -> tuple[str, ...]:
    """Return the choices in an order fixed by ticket and tries, so it is the same every frame."""

    def lot(choice: str) -> bytes:
        return blake2b(f"{ticket}\n{tries}\n{choice}".encode(), digest_size=8).digest()

    return tuple(sorted(choices, key=lot))


def _table(right: str) -> tuple[str, ...]:
    """The size system of `right`: next to a label that reads L, AL is never offered."""
    return CODES if right in CODES else SIZES


def _steps_between(size: str, right: str) -> int:
    table = _table(right)
    if size not in table:
        return len(table)
    return abs(table.index(size) - table.index(right if right in table else "M"))


def _likeness(number: str, right: str) -> int:
    """Two points for each digit in the same place, one for each shared digit."""
    same = sum(a == b for a, b in zip(number, right, strict=False))
    return 2 * same + len(set(number) & set(right)) - abs(len(number) - len(right))


def _neighbours(right: str) -> tuple[str, ...]:
    if not right.isdecimal():
        return tuple(str(n) for n in range(1, NUMBERS + 1))
    near = (int(right) + step for step in (1, -1, 10, 2, -2, 3, 4, 5))
    return tuple(str(n) for n in near if n >= 0)


def _distinct(candidates: Iterable[str], most: int) -> tuple[str, ...]:
    return tuple(dict.fromkeys(c for c in candidates if c))[:most]
