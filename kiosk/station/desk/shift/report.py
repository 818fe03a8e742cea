"""Pages from the record: this shift, a page for each answer, and what cooling taught."""

import time
from collections.abc import Callable
from re import finditer, split

from kiosk.catalog.base import Message, say
from kiosk.heat.learn import Beta
from kiosk.peel.estimate import beta_of
from kiosk.report.content import ALL_WELL, Report, Topic
from kiosk.run.state import CoolingPlace, Lesson, LessonSource, ResetLearning, State
from kiosk.station.desk.desk import SUPERVISOR, Desk
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift import card, shop
from kiosk.station.desk.shift.subject import pictures, read_from_record, sheet_of, title_of
from kiosk.words import Words

WAYS = {CoolingPlace.LIFTED: "lifted", CoolingPlace.ON_PAD: "on_pad"}
LAST = 5  # lessons shown, the newest first


def learning(desk: Desk, words: Words) -> Sheet:
    """Page of how garments cool here compared with the model, and what taught that."""
    state = desk.shell.state
    ranges = [_range(words, state, place) for place in WAYS]
    history = [_lesson(words, lesson) for lesson in reversed(state.lessons[-LAST:])]
    nothing = words("learning.nothing")
    return Sheet(
        title=words("learning.title"),
        headline=ranges[0] if history else nothing,
        second=ranges[1] if history else "",
        lines=(words("learning.line"), *(history or ranges)),
        choices=tuple(_reset(desk, words, place) for place in WAYS if place.value in state.betas),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def _range(words: Words, state: State, place: CoolingPlace) -> str:
    beta = beta_of(state, place)
    source = "learned" if place.value in state.betas else "assumed"
    source = "at_least" if beta.at_least else source
    return words(f"learning.{WAYS[place]}.{source}", **_percent(beta))


def _percent(beta: Beta) -> dict[str, int]:
    return {
        "percent": round(100 * beta.factor),
        "low": round(100 * beta.low),
        "high": round(100 * beta.high),
    }


def _lesson(words: Words, lesson: Lesson) -> str:
    time_text = time.strftime("%m-%d %H:%M", time.localtime(lesson.at.wall))
    way = say(f"learning.way.{WAYS.get(lesson.lies, 'lifted')}")
    if lesson.taught is None:
        return words("learning.reset_done", at=time_text, way=way)
    return words(
        f"learning.of.{_WORDS[lesson.taught]}",
        at=time_text,
        way=way,
        seen=round(lesson.seen_seconds),
        ready=round(lesson.ready_seconds),
        known=_range_after(lesson),
    )


def _range_after(lesson: Lesson) -> Message:
    """Return what was known after a lesson: a range, or only its lower end."""
    low = round(100 * lesson.low)
    if lesson.at_least:
        return say("learning.known_at_least", low=low)
    percent, high = round(100 * lesson.factor), round(100 * lesson.high)
    return say("learning.known", percent=percent, low=low, high=high)


_WORDS = {
    LessonSource.GOOD_PEEL: "good_peel",
    LessonSource.LIFTED_EDGE: "lifted_edge",
    LessonSource.TOUCH: "touch",
    LessonSource.READING: "reading",
}


def _reset(desk: Desk, words: Words, place: CoolingPlace) -> Button:
    label = words(f"learning.reset.{WAYS[place]}")
    return Button(label, lambda: _forget(desk, place), words("learning.reset_line"))


def _forget(desk: Desk, place: CoolingPlace) -> None:
    desk.shell.do(ResetLearning(place, SUPERVISOR))
    desk.go(PageKind.LEARNING)


BRIEF = 44  # letters of an answer on its question's button
LEAST_MADE = 3  # garments: a pace from fewer would jump with each


class ReportShown:
    """The report on the page, and which of its topics and parts is shown."""

    def __init__(self, desk: Desk) -> None:
        self.report: Report | None = None
        self.at = (0, 0)


def open_report(desk: Desk) -> None:
    """Read the shift as it is now and show its report."""
    # not needed at a start
    from kiosk.station.desk.shift.report_data import report_of_shift

    if (found := read_from_record(desk, lambda store: (report_of_shift(store),))) is not None:
        (desk.of(ReportShown).report,) = found
        desk.go(PageKind.REPORT)


def questions(desk: Desk, words: Words) -> Sheet:
    """Page of the supervisor's questions, then all other subjects."""
    report = desk.of(ReportShown).report
    return Sheet(
        title=words("page.report") if report is None else words.say(report.title),
        status=shop.sending_line(desk, words),
        headline=counts_line(_jobs(desk), words),
        second=_pace(desk, words),
        lines=() if _topics(desk) else (words("page.report_none"),),
        choices=(
            *(choice(each, words, _turn(desk, (n, 0))) for n, each in enumerate(_topics(desk))),
            card.card_button(desk, words),
        ),
        main=Button(words("page.report_next"), _turn(desk, (0, 0))) if _topics(desk) else None,
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def counts_line(jobs: list[dict[str, int]], words: Words) -> str:
    """Return how many garments of all jobs are good, scrap and still open, "" for no jobs.

    Rework counts as open; accepted ones are shown if there are any.
    """
    if not jobs:
        return ""
    sums = {name: sum(job[name] for job in jobs) for name in ("good", "accepted", "scrap")}
    still_open = sum(job["still_open"] + job["rework"] for job in jobs)
    more = "_more" if sums["accepted"] else ""
    return words(f"page.report_counts{more}", **sums, open=still_open)


def _pace(desk: Desk, words: Words) -> str:
    """Return garments per hour of work, and when the current job will be done; "" for neither."""
    jobs, state = _jobs(desk), desk.shell.state
    made, used = (sum(job[key] for job in jobs) for key in ("made", "used_seconds"))
    parts = []
    if made >= LEAST_MADE and used:
        parts.append(words("page.report_pace", made=made, count=round(made * 3600 / used)))
    if state.job is not None and not state.job.done:
        parts.append(words.say(desk.forecast.of_run(state.job, desk.shell.now().wall)))
    return " · ".join(parts)


def _jobs(desk: Desk) -> list[dict[str, int]]:
    """Return the counts of each job of the shift."""
    behind = next((topic for topic in _topics(desk) if topic.question == "behind"), None)
    jobs = behind.data().get("jobs") if behind is not None else None
    return jobs if isinstance(jobs, list) else []


def part(desk: Desk, words: Words) -> Sheet:
    """Page of one subject; the bar goes to its next part, then to the next subject."""
    topics, (at, nth) = _topics(desk), desk.of(ReportShown).at
    more = nth + 1 < len(pictures(topics[at], words))
    following = (at, nth + 1) if more else ((at + 1) % len(topics), 0)
    back = Button(words("page.back"), lambda: desk.go(PageKind.REPORT))
    go_on = Button(words("page.report_next"), _turn(desk, following))
    return sheet_of(topics[at], nth, words, go_on, back)


def _topics(desk: Desk) -> tuple[Topic, ...]:
    report = desk.of(ReportShown).report
    return () if report is None else in_order(report)


def in_order(report: Report) -> tuple[Topic, ...]:
    """Return the questions, those that need attention first, then the other topics."""
    first = sorted(report.answering_topics(), key=lambda topic: not topic.exception)
    rest = (topic for topic in report.topics if not (topic.question or topic.left_out))
    return (*first, *rest)


def choice(topic: Topic, words: Words, act: Callable[[], None]) -> Button:
    """Return a question with its answer in brief; the page behind it has the rest."""
    notable = [each for each in topic.answer if each.id not in ALL_WELL] or topic.answer
    answer = words.say(notable[0]) if topic.question and notable else ""
    return Button(title_of(topic, words), act, brief(answer))


def brief(answer: str) -> str:
    """Return the first sentence up to its explanation, or as many of its parts as fit.

    If even the first part is too long, it is cut at a word.
    """
    first = split("[.;] ", answer)[0].rstrip(".")
    ends = [found.start() for found in finditer("[,:] | \\(", first)]
    parts = (first[:end] for end in (*ends, len(first)) if end <= BRIEF)
    whole = [part for part in parts if part.count("(") == part.count(")")]
    return whole[-1] if whole else f"{first[:BRIEF].rsplit(' ', 1)[0]} …"


def _turn(desk: Desk, at: tuple[int, int]) -> Callable[[], None]:
    def turn() -> None:
        desk.of(ReportShown).at = at
        desk.go(PageKind.REPORT_PART)

    return turn
