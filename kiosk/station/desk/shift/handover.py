"""Handing the station over: notes, where everything is, and who takes over."""

from kiosk.run.facts import begun_garments, check_holds, label_of, slot_ticket
from kiosk.run.state import JobRun, LastCheck, Now, State, commands
from kiosk.station.desk.desk import Desk, moment_of
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.shop import shared_lines
from kiosk.words import Words

NOTES = ("pad_worn", "sheet_worn", "press_drifts", "garments_missing", "material_short", "ask_me")
"""Ids of open questions to leave for the next operator: no free text, so no names."""


class Handing:
    """One hand-over in preparation."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.begun = False
        self.notes: tuple[str, ...] = ()

    def begin(self) -> None:
        """Begin a hand-over."""
        self.begun, self.notes = True, ()
        self._desk.go(PageKind.HAND_OVER)

    def note(self, question: str) -> None:
        """Note an open question, or take the note back."""
        others = tuple(note for note in self.notes if note != question)
        self.notes = others if question in self.notes else (*others, question)

    def hand_over(self, to: str = "") -> None:
        """End the shift and give the station to `to`, or to nobody yet."""
        desk = self._desk
        desk.end_hold()
        if desk.shell.do(commands.HandOver(to, self.notes)).refusal is not None:
            return
        self.begun = False
        if to:
            desk.sign_on(to)
        else:
            desk.go(PageKind.SIGN_ON)


def hand_over_to(desk: Desk) -> None:
    """Begin to hand over; the job stays where it is."""
    desk.of(Handing).begin()


MOST_EVENTS = 3  # bad events listed on a page


def hand_over(desk: Desk, words: Words) -> Sheet:
    """Page of what the station knows and the next operator needs."""
    state = desk.shell.state
    facts = _facts(state, words, desk.shell.now())
    return Sheet(
        title=words("page.hand_over.title", operator=state.operator),
        headline=facts[0],
        second=facts[1] if len(facts) > 1 else "",
        lines=(
            *facts[2:],
            *shared_lines(desk, words),
            *_put_back(state, words),
            *_record(desk, words),
        ),
        main=Button(words("page.hand_over.main"), lambda: desk.go(PageKind.OPEN_QUESTIONS)),
        left=Button(words("page.back"), desk.go_on),
    )


def open_questions(desk: Desk, words: Words) -> Sheet:
    """Page of what only the leaving operator knows; a touch notes it, another takes it back."""
    handing = desk.of(Handing)

    def note(question: str) -> Button:
        noted = question in handing.notes
        label = words(f"handover.{question}")
        return Button(
            words("page.hand_over.noted", what=label) if noted else label,
            lambda: handing.note(question),
        )

    return Sheet(
        title=words("page.hand_over.open"),
        choices=tuple(note(question) for question in NOTES),
        main=Button(words("page.hand_over.next"), lambda: desk.go(PageKind.NEXT_OPERATOR)),
        left=Button(words("page.back"), lambda: desk.go(PageKind.HAND_OVER)),
    )


def next_operator(desk: Desk, words: Words) -> Sheet:
    """Page that asks who takes over."""
    handing = desk.of(Handing)
    state = desk.shell.state

    def taker(initials: str) -> Button:
        return Button(initials, lambda: handing.hand_over(initials))

    return Sheet(
        title=words("page.who_comes"),
        lines=(words("page.who_comes_off"), words("page.who_comes_line", operator=state.operator)),
        choices=(
            *(taker(each) for each in sorted(state.operators) if each != state.operator),
            Button(words("page.new_initials"), lambda: desk.go(PageKind.INITIALS)),
        ),
        main=Button(words("page.nobody_comes"), handing.hand_over),
        left=Button(words("page.back"), lambda: desk.go(PageKind.OPEN_QUESTIONS)),
    )


def _record(desk: Desk, words: Words) -> tuple[str, ...]:
    """Return the code that later shows if the record was cut off or changed up to now."""
    code = words("page.hand_over.record", code=desk.shell.recorder.store.head.short)
    bad = desk.shell.patrol.found
    if not bad:
        return (code,)
    shown = ", ".join(map(str, bad[:MOST_EVENTS])) + (" …" if len(bad) > MOST_EVENTS else "")
    return (code, words("page.hand_over.rotten", events=shown))


def _facts(state: State, words: Words, now: Now) -> tuple[str, ...]:
    job = state.job
    if job is None:
        return (words("page.hand_over.no_job"),)
    return (
        _platen(job, words),
        _rack(job, words),
        _setting(state, job, words, now),
        *not_finished(job, words),
        *_to_decide(job, words),
    )


def not_finished(job: JobRun, words: Words) -> tuple[str, ...]:
    """Return which garments have taken heat and are to be loaded again; the platen is clear."""
    at_press = slot_ticket(job)
    if at_press is None or at_press.opened is None or at_press.finals:
        tickets = begun_garments(job)
    else:
        tickets = (at_press, *begun_garments(job))
    numbers = tuple(label_of(ticket) for ticket in tickets)
    return (words("page.hand_over.begun", numbers=numbers),) if numbers else ()


def _put_back(state: State, words: Words) -> tuple[str, ...]:
    """Return the unfinished garments of each job put back."""
    return tuple(
        words("page.hand_over.put_back", title=job.plan.title, what=lines)
        for job in state.others.values()
        if (lines := (*not_finished(job, words), *_to_decide(job, words)))
    )


def _to_decide(job: JobRun, words: Words) -> tuple[str, ...]:
    numbers = _numbers(job, job.aside)
    return (words("page.hand_over.aside", numbers=numbers),) if numbers else ()


def _platen(job: JobRun, words: Words) -> str:
    if not job.slot:
        return words("page.hand_over.platen_free")
    return words("page.hand_over.platen", number=label_of(job.tickets[job.slot]))


def _rack(job: JobRun, words: Words) -> str:
    if not job.rack:
        return words("page.hand_over.rack_free")
    return words("page.hand_over.rack", numbers=_numbers(job, job.rack))


def _setting(state: State, job: JobRun, words: Words, now: Now) -> str:
    if job.setting is None:
        return words("page.hand_over.not_set", press=job.plan.press)
    if job.set_for is not None and check_holds(state, job, job.set_for):
        how, when = "checked", ""
    else:
        how, when = _unchecked(state.check, job, now)
    return words(
        f"page.hand_over.{how}",
        press=job.plan.press,
        temperature=job.setting,
        unit=job.plan.unit.value,
        when=when,
    )


def _unchecked(check: LastCheck | None, job: JobRun, now: Now) -> tuple[str, str]:
    """Return why the press has no valid check, and since when."""
    if check is None or check.press != job.plan.press:
        return "unchecked", ""
    if check.lapsed is not None:
        return "lapsed", moment_of(check.lapsed.wall, now.wall)
    if not check.holds and check.temperature == job.set_for:
        return "failed", moment_of(check.at.wall, now.wall)
    return "unchecked", ""


def _numbers(job: JobRun, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(label_of(job.tickets[name]) for name in names)
