"""Pages looked up from the record: this shift, each answer one, and what cooling taught."""

import time
from collections.abc import Callable, Iterator
from re import finditer, split

from kiosk.catalog.base import Message, say
from kiosk.heat.learn import Beta
from kiosk.log.store import Damaged, LogFault
from kiosk.peel.estimate import beta_of
from kiosk.report.content import ALL_WELL, BarChart, ControlChart, Report, Say, Table, Topic, spoken
from kiosk.run.state import Lesson, Lies, ResetLearning, State, Taught
from kiosk.station.desk.desk import SUPERVISOR, Desk
from kiosk.station.desk.sheet import Button, ChartPicture, Page, Picture, Sheet, TablePicture
from kiosk.station.desk.shift import shop
from kiosk.words import Words

WAYS = {Lies.LIFTED: "lifted", Lies.ON_PAD: "on_pad"}
LAST = 5  # lessons told, the newest first


def learning(desk: Desk, words: Words) -> Sheet:
    """How much slower or faster garments cool here than the model has it, and from what."""
    state = desk.shell.state
    told = [_range(words, state, lies) for lies in WAYS]
    history = [_lesson(desk, words, lesson) for lesson in reversed(state.lessons[-LAST:])]
    nothing = words("learning.nothing")
    return Sheet(
        title=words("learning.title"),
        headline=told[0] if history else nothing,
        second=told[1] if history else "",
        lines=(words("learning.line"), *(history or told)),
        choices=tuple(_reset(desk, words, lies) for lies in WAYS if lies.value in state.betas),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _range(words: Words, state: State, lies: Lies) -> str:
    beta = beta_of(state, lies)
    known = "learned" if lies.value in state.betas else "assumed"
    known = "at_least" if beta.at_least else known
    return words(f"learning.{WAYS[lies]}.{known}", **_percent(beta))


def _percent(beta: Beta) -> dict[str, int]:
    return {
        "percent": round(100 * beta.factor),
        "low": round(100 * beta.low),
        "high": round(100 * beta.high),
    }


def _lesson(desk: Desk, words: Words, lesson: Lesson) -> str:
    at = time.strftime("%m-%d %H:%M", time.localtime(lesson.at.wall))
    way = say(f"learning.way.{WAYS.get(lesson.lies, 'lifted')}")
    if lesson.taught is None:
        return words("learning.reset_done", at=at, way=way)
    return words(
        f"learning.of.{_WORDS[lesson.taught]}",
        at=at,
        way=way,
        seen=round(lesson.seen_seconds),
        ready=round(lesson.ready_seconds),
        known=_known(lesson),
    )


def _known(lesson: Lesson) -> Message:
    """What was known after it: a range, or only its lower end."""
    low = round(100 * lesson.low)
    if lesson.at_least:
        return say("learning.known_at_least", low=low)
    percent, high = round(100 * lesson.factor), round(100 * lesson.high)
    return say("learning.known", percent=percent, low=low, high=high)


_WORDS = {
    Taught.GOOD_PEEL: "good_peel",
    Taught.LIFTED_EDGE: "lifted_edge",
    Taught.TOUCH: "touch",
    Taught.READING: "reading",
}


def _reset(desk: Desk, words: Words, lies: Lies) -> Button:
    label = words(f"learning.reset.{WAYS[lies]}")
    return Button(label, lambda: _forget(desk, lies), words("learning.reset_line"))


def _forget(desk: Desk, lies: Lies) -> None:
    desk.shell.do(ResetLearning(lies, SUPERVISOR))
    desk.go(Page.LEARNING)


NARROW = 4  # columns: rows of wider tables may take several lines
ROWS, FEW_ROWS = 6, 4
PARTS = 4
BRIEF = 44  # letters of an answer on its question's button
LEAST_MADE = 3  # garments: a pace of fewer would jump with each
ANSWERS = 2  # sentences that have room over a table


class Counted:
    """The report that is looked at, and which of its topics and their parts is on the page."""

    def __init__(self, desk: Desk) -> None:
        self.report: Report | None = None
        self.at = (0, 0)


def look(desk: Desk) -> None:
    """Read the shift as it is now and show its report."""
    # only now: a start does without
    from kiosk.station.desk.shift.counting import report_of_shift, report_past_damage

    if desk.shell.recorder.anew is not None:
        desk.shell.say(say("station.read_anew", percent=desk.shell.recorder.anew.percent))
        return
    desk.shell.recorder.checkpoint()  # what is stored is fresh then: nothing is folded anew
    try:
        try:
            desk.of(Counted).report = report_of_shift(desk.shell.recorder.store)
        except Damaged:
            desk.of(Counted).report = report_past_damage(desk.shell.recorder.store)
            desk.shell.say(say("station.bad_events"), lasting=True)
    except LogFault as fault:
        desk.shell.say(fault.message)
        return
    desk.go(Page.REPORT)


def questions(desk: Desk, words: Words) -> Sheet:
    """What does the supervisor ask? All other subjects come after the questions."""
    report = desk.of(Counted).report
    return Sheet(
        title=words("page.report") if report is None else words.say(report.title),
        status=shop.told(desk, words),
        headline=_counts(desk, words),
        second=_pace(desk, words),
        lines=() if _topics(desk) else (words("page.report_none"),),
        choices=tuple(
            choice(topic, words, _turn(desk, (at, 0))) for at, topic in enumerate(_topics(desk))
        ),
        main=Button(words("page.report_next"), _turn(desk, (0, 0))) if _topics(desk) else None,
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _counts(desk: Desk, words: Words) -> str:
    """Return how many garments of all jobs are good, scrap and still open, "" for no jobs."""
    jobs = _jobs(desk)
    if not jobs:
        return ""
    names = {"good": "good", "scrap": "scrap", "open": "still_open"}
    sums = {name: sum(job[key] for job in jobs) for name, key in names.items()}
    return words("page.report_counts", **sums)


def _pace(desk: Desk, words: Words) -> str:
    """Garments per hour of work so far, and when the job at the press is done; "" for neither."""
    jobs, state = _jobs(desk), desk.shell.state
    made, used = (sum(job[key] for job in jobs) for key in ("made", "used_seconds"))
    told = []
    if made >= LEAST_MADE and used:
        told.append(words("page.report_pace", count=round(made * 3600 / used)))
    if state.job is not None and not state.job.done:
        told.append(words.say(desk.forecast.of_run(state.job, desk.shell.now().wall)))
    return " · ".join(told)


def _jobs(desk: Desk) -> list[dict[str, int]]:
    """The counts of each job of the shift."""
    made = next((topic for topic in _topics(desk) if topic.question == "behind"), None)
    jobs = made.data().get("jobs") if made is not None else None
    return jobs if isinstance(jobs, list) else []


def part(desk: Desk, words: Words) -> Sheet:
    """One subject; the bar goes on to its next part, then to the next subject."""
    topics, (at, nth) = _topics(desk), desk.of(Counted).at
    more = nth + 1 < len(pictures(topics[at], words))
    following = (at, nth + 1) if more else ((at + 1) % len(topics), 0)
    back = Button(words("page.back"), lambda: desk.go(Page.REPORT))
    go_on = Button(words("page.report_next"), _turn(desk, following))
    return sheet_of(topics[at], nth, words, go_on, back)


def sheet_of(topic: Topic, nth: int, words: Words, go_on: Button, back: Button) -> Sheet:
    """Return part `nth` of a subject: its answer over its table, then over its chart."""
    said = topic.answer or topic.section.reading
    shown = pictures(topic, words)
    return Sheet(
        title=_title(topic, words),
        lines=tuple(words.say(line) for line in said[:ANSWERS]),
        main=go_on,
        left=back,
        picture=shown[nth] if shown else None,
    )


def pictures(topic: Topic, words: Words) -> tuple[Picture, ...]:
    """Return what is drawn of a subject: its table, in parts that have room, before its chart."""
    section = topic.section
    chart = () if section.chart is None else (_chart(section.chart, words.say),)
    return (*_tables(section.table, words), *chart)


def _tables(table: Table, words: Words) -> Iterator[Picture]:
    """The last part takes all rows that are left: what has no room is counted there."""
    each = FEW_ROWS if len(table.head) > NARROW else ROWS
    for nth in range(min(PARTS, -(-len(table.rows) // each))):
        until = None if nth == PARTS - 1 else (nth + 1) * each
        yield _table(Table(table.head, table.rows[nth * each : until]), words.say)


def _topics(desk: Desk) -> tuple[Topic, ...]:
    report = desk.of(Counted).report
    return () if report is None else in_order(report)


def in_order(report: Report) -> tuple[Topic, ...]:
    """Return the questions, those first whose answer somebody has to look at; then the rest."""
    asked = sorted(report.asked(), key=lambda topic: not topic.exception)
    return (*asked, *(topic for topic in report.topics if not topic.question))


def choice(topic: Topic, words: Words, act: Callable[[], None]) -> Button:
    """Return a question with its answer in brief; all of it stands on the page behind."""
    told = [each for each in topic.answer if each.id not in ALL_WELL] or topic.answer
    answer = words.say(told[0]) if topic.question and told else ""
    return Button(_title(topic, words), act, brief(answer))


def brief(answer: str) -> str:
    """Return the first sentence up to what explains it, or the most parts of it that have room.

    Only where its first part is too long it is cut, at a word.
    """
    first = split("[.;] ", answer)[0].rstrip(".")
    ends = [found.start() for found in finditer("[,:] | \\(", first)]
    parts = (first[:end] for end in (*ends, len(first)) if end <= BRIEF)
    whole = [part for part in parts if part.count("(") == part.count(")")]
    return whole[-1] if whole else f"{first[:BRIEF].rsplit(' ', 1)[0]} …"


def _turn(desk: Desk, at: tuple[int, int]) -> Callable[[], None]:
    def turn() -> None:
        desk.of(Counted).at = at
        desk.go(Page.REPORT_PART)

    return turn


def _title(topic: Topic, words: Words) -> str:
    if topic.question:
        return words.say(Message(f"question.{topic.question}"))
    return words.say(topic.section.title)


def _table(table: Table, say: Say) -> TablePicture:
    """Return a table with its words."""
    rows = tuple(tuple(spoken(cell, say) for cell in cells) for cells in table.rows)
    return TablePicture(tuple(map(say, table.head)), rows)


def _chart(chart: ControlChart | BarChart, say: Say) -> ChartPicture:
    """Return a chart with its words."""
    if isinstance(chart, ControlChart):
        return ChartPicture(chart)
    return ChartPicture(bars=tuple((say(label), n, covered) for label, n, covered in chart.bars))
