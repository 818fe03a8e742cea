"""Pages for handing over: what is where, what is open, who comes."""

from __future__ import annotations

from kiosk.run.facts import check_holds
from kiosk.run.state import JobRun, State
from kiosk.station.desk import Desk, Page
from kiosk.station.handing import NOTES, Handing
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words

NAMED = 3  # bad events that are named on a page


def hand_over(desk: Desk, words: Words) -> Sheet:
    """What whoever comes has to know, as the station knows it."""
    state = desk.shell.state
    return Sheet(
        title=words("page.hand_over.title", operator=state.operator),
        lines=(*_facts(state, words), *_record(desk, words)),
        main=Button(words("page.hand_over.main"), lambda: desk.go(Page.OPEN_QUESTIONS)),
        left=Button(words("page.back"), desk.go_on),
    )


def open_questions(desk: Desk, words: Words) -> Sheet:
    """What only whoever goes knows: touched it is noted, touched again it is not."""
    handing = desk.handing or Handing(desk)

    def note(what: str) -> Button:
        noted = what in handing.notes
        label = words(f"handover.{what}")
        return Button(
            words("page.hand_over.noted", what=label) if noted else label,
            lambda: handing.note(what),
        )

    return Sheet(
        title=words("page.hand_over.open"),
        choices=tuple(note(what) for what in NOTES),
        main=Button(words("page.hand_over.next"), lambda: desk.go(Page.WHO_COMES)),
        left=Button(words("page.back"), lambda: desk.go(Page.HAND_OVER)),
    )


def who_comes(desk: Desk, words: Words) -> Sheet:
    """Whose the station is from here on."""
    handing = desk.handing or Handing(desk)
    state = desk.shell.state

    def taker(initials: str) -> Button:
        return Button(initials, lambda: handing.give(initials))

    return Sheet(
        title=words("page.who_comes"),
        lines=(words("page.who_comes_line", operator=state.operator),),
        choices=(
            *(taker(each) for each in sorted(state.operators) if each != state.operator),
            Button(words("page.new_initials"), lambda: desk.go(Page.INITIALS)),
        ),
        main=Button(words("page.nobody_comes"), handing.give),
        left=Button(words("page.back"), lambda: desk.go(Page.OPEN_QUESTIONS)),
    )


def _record(desk: Desk, words: Words) -> tuple[str, ...]:
    """What tells later whether anything was cut off or changed that was recorded until now."""
    code = words("page.hand_over.record", code=desk.shell.recorder.store.head.short)
    bad = desk.shell.patrol.told
    if not bad:
        return (code,)
    shown = ", ".join(map(str, bad[:NAMED])) + (" …" if len(bad) > NAMED else "")
    return (code, words("page.hand_over.rotten", events=shown))


def _facts(state: State, words: Words) -> tuple[str, ...]:
    job = state.job
    if job is None:
        return (words("page.hand_over.no_job"),)
    return (
        _platen(job, words),
        _rack(job, words),
        _setting(state, job, words),
        *((words("page.hand_over.aside", numbers=_numbers(job, job.aside)),) if job.aside else ()),
    )


def _platen(job: JobRun, words: Words) -> str:
    if not job.slot:
        return words("page.hand_over.platen_free")
    return words("page.hand_over.platen", number=job.tickets[job.slot].garment.number)


def _rack(job: JobRun, words: Words) -> str:
    if not job.rack:
        return words("page.hand_over.rack_free")
    return words("page.hand_over.rack", numbers=_numbers(job, job.rack))


def _setting(state: State, job: JobRun, words: Words) -> str:
    if job.setting is None:
        return words("page.hand_over.not_set", press=job.plan.press)
    known = job.set_for is not None and check_holds(state, job, job.set_for)
    return words(
        "page.hand_over.checked" if known else "page.hand_over.unchecked",
        press=job.plan.press,
        temperature=job.setting,
        unit=job.plan.unit.value,
    )


def _numbers(job: JobRun, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(job.tickets[name].garment.number for name in names)
