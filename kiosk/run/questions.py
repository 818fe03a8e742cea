"""What a person must read from a garment or the press before heat, and only when it changed."""

from __future__ import annotations

from kiosk.run.anew import replace
from kiosk.run.choices import number_choices, shuffled, size_choices
from kiosk.run.model import Ask, Changed, JobRun, Now, Question, Stage, State, Ticket
from kiosk.run.moves import next_hot
from kiosk.run.rack import elapsed
from kiosk.run.tickets import pass_of, run_of, slot_ticket
from kiosk.run.twins import has_twin

BREAK_SECONDS = 600
"""A pause of the hands after which a person reads again what is in them."""


def question_at_hand(job: JobRun) -> Question | None:
    """Return the question to answer now: the setting first, then those of the slot's ticket.

    The SETTING question is not stored: it stands whenever the slot's next hot step asks for
    another temperature than `job.set_for`; it has no choices and is answered by ReadSetting.
    """
    asked = required_setting(job)
    if asked is not None and asked != job.set_for:
        return Question(job.slot, Ask.SETTING, Changed.SETTING, (), str(asked))
    return job.questions[0] if job.questions else None


def required_setting(job: JobRun) -> int | None:
    """Return the whole degrees that the slot's next hot step asks for, None without one."""
    ticket = slot_ticket(job)
    if ticket is None or ticket.stage is not Stage.AT_PRESS:
        return None
    passage = pass_of(job, ticket)
    hot = next_hot(passage, ticket.step, ticket.skipped)
    return None if hot is None else passage.steps[hot].temperature


def questions_for(state: State, job: JobRun, ticket: Ticket, now: Now) -> tuple[Question, ...]:
    """Return the questions of a ticket that is called: at most one size and one number."""
    asked = []
    last = job.tickets.get(job.last_loaded)
    if ticket.garment.size and (last is None or last.garment.size != ticket.garment.size):
        sizes = size_choices(job, ticket.garment.size)
        asked.append(_question(ticket, Ask.SIZE, Changed.SIZE, sizes, ticket.garment.size))
    because = _why_number(state, job, ticket, now)
    if because is not None and ticket.garment.number:
        asked.append(number_question(job, ticket, because))
    return tuple(asked)


def number_question(job: JobRun, ticket: Ticket, because: Changed) -> Question:
    """Return the question for the number of a ticket's garment."""
    number = ticket.garment.number
    return _question(ticket, Ask.NUMBER, because, number_choices(job, number), number)


def asked_again(question: Question) -> Question:
    """Return a question after a wrong answer: one try more, its choices in another order."""
    tries = question.tries + 1
    choices = shuffled(question.choices, question.ticket, tries)
    return replace(question, tries=tries, choices=choices)


def had_break(state: State, now: Now) -> bool:
    """Return whether the hands rested for more than ten minutes."""
    return state.moved is not None and elapsed(state.moved, now)[0] > BREAK_SECONDS


def _why_number(state: State, job: JobRun, ticket: Ticket, now: Now) -> Changed | None:
    if state.changed_operator:
        return Changed.OPERATOR
    if had_break(state, now):
        return Changed.BREAK
    if ticket.finals or (run_of(job.plan, ticket.passage) and not _in_hand(job, ticket)):
        return Changed.LATER_PASS
    numbers = {t.garment.number for t in job.tickets.values()}
    return Changed.TWIN if has_twin(ticket.garment.number, numbers) else None


def _in_hand(job: JobRun, ticket: Ticket) -> bool:
    """Whether this very garment was loaded last: its pass before has just ended."""
    last = job.tickets.get(job.last_loaded)
    runs = [] if last is None else [run_of(job.plan, t.passage) for t in (last, ticket)]
    if last is None or last.passage == ticket.passage or runs[0] != runs[1]:
        return False
    return (last.garment.line, last.copy) == (ticket.garment.line, ticket.copy)


def _question(
    ticket: Ticket, ask: Ask, because: Changed, choices: tuple[str, ...], right: str
) -> Question:
    return Question(ticket.id, ask, because, shuffled(choices, ticket.id, 0), right)
