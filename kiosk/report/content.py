"""A report as data: answers, tables and charts, not yet in words or on a page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from kiosk.catalog.base import Message, Value, say

if TYPE_CHECKING:
    from kiosk.report.stats import Chart

Cell = Message | str | tuple[Message, ...]
Data = Mapping[str, object]
Say = Callable[[Message], str]

EMPTY = "–"
"""Table cell for no value, or too few values to show one."""

DRAWN = 100  # the most values drawn, the last ones, to keep a chart readable


UNTRIED = say("caution.untried")
"""The caution about the program itself in every report."""


class Table(NamedTuple):
    """Rows of cells under a head; the first cell of a row names it."""

    head: tuple[Message, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()


class ControlChart(NamedTuple):
    """Values in order, their limits, and the indexes of signals; `source` names it."""

    values: tuple[float, ...]
    lower: tuple[float, ...]
    centre: tuple[float, ...]
    upper: tuple[float, ...]
    signals: tuple[int, ...]
    unit: str
    source: Message


def control_chart(
    values: tuple[float, ...], chart: Chart, unit: str, source: Message, factor: float = 1.0
) -> ControlChart:
    """Return the chart of the last values, with limits computed from all of them.

    `source` names the source of the values; `factor` converts values and limits to `unit`.
    """
    skip = max(0, len(values) - DRAWN)
    limits = [each.times(factor) for each in chart.limits[skip:]]
    return ControlChart(
        tuple(factor * value for value in values[skip:]),
        tuple(each.lower for each in limits),
        tuple(each.centre for each in limits),
        tuple(each.upper for each in limits),
        tuple(sorted({sign.nth - skip for sign in chart.signals if sign.nth >= skip})),
        unit,
        source,
    )


class BarChart(NamedTuple):
    """Bars of (name, count, cumulative share as text or ""), highest count first."""

    bars: tuple[tuple[Message, int, str], ...]


class Section(NamedTuple):
    """One subject: its conclusion in words, then its table and its chart."""

    id: str
    reading: tuple[Message, ...]
    table: Table = Table()
    chart: ControlChart | BarChart | None = None

    @property
    def title(self) -> Message:
        """The heading."""
        return Message(f"report.section.{self.id}")


class Topic(NamedTuple):
    """A section and the supervisor's question that it answers (`question` is "" for none).

    `data` returns the same content for other programs.
    """

    section: Section
    question: str = ""
    answer: tuple[Message, ...] = ()
    data: Callable[[], Data] = dict

    @property
    def exception(self) -> bool:
        """Whether the answer reports something that needs attention."""
        return any(each.id not in ALL_WELL for each in self.answer)

    @property
    def left_out(self) -> bool:
        """Whether the section is not shown, because it is rarely needed and empty."""
        return self.section.id in SELDOM and not self.section.table.rows


SELDOM = frozenset({"articles", "trials", "handovers"})
ALL_WELL = frozenset({
    "answer.behind.none_open", "answer.behind.open", "answer.behind.in_time",
    "answer.failed.none", "answer.failed.no_garment", "answer.material.none",
    "answer.material.too_little", "report.material_unnamed", "answer.slow.none",
    "answer.slow.too_little", "answer.slow.no_move",
    "answer.drift.none", "answer.drift.few", "answer.drift.steady",
    "answer.help.none", "answer.recheck.none", "answer.overridden.none", "answer.buy.none",
    "answer.tack.no_tack", "answer.tack.not_seen", "answer.tack.right", "answer.tack.too_little",
    "answer.peels.none", "answer.peels.right", "answer.peels.right_seen",
    "answer.peels.right_unseen", "answer.peels.guess", "answer.changed.none",
    "answer.changed.nothing_before", "answer.changed.against", "change.people",
})  # fmt: skip
"""Answers that need no action."""


class Report(NamedTuple):
    """A whole report: heading, questions with answers, then sections.

    `record` lists the records it is made from and the problems found in them.
    """

    title: Message
    line: Message
    topics: tuple[Topic, ...]
    record: tuple[Message, ...] = ()

    def answering_topics(self) -> tuple[Topic, ...]:
        """Return the topics that answer a question, in the order of QUESTIONS."""
        by_question = {topic.question: topic for topic in self.topics if topic.question}
        return tuple(by_question[each] for each in QUESTIONS if each in by_question)


QUESTIONS = (
    "behind", "failed", "material", "slow", "drift", "help",
    "recheck", "overridden", "buy", "tack", "peels", "changed",
)  # fmt: skip
"""The supervisor's questions, in order; `question.<id>` is the sentence."""


def row(*cells: Cell | float) -> tuple[Cell, ...]:
    """Return a table row, with numbers as text."""
    return tuple([number(cell) if isinstance(cell, _NUMBER) else cell for cell in cells])


_NUMBER = (int, float)


def number(value: float) -> str:
    """Return a number as tables show it: whole, or with one decimal."""
    return f"{value:.0f}" if float(value).is_integer() else f"{value:.1f}"


@cache
def head(*ids: str) -> tuple[Message, ...]:
    """Return a table's head from the ids of its columns."""
    return tuple([Message(f"report.head.{each}") for each in ids])


def first_few(texts: Sequence[Value], most: int) -> tuple[Value, ...]:
    """Return the first `most` texts for a sentence, with an ellipsis if there are more."""
    return (*texts[:most], "…") if len(texts) > most else tuple(texts)


def cell_reader(say: Say) -> Callable[[Iterable[Cell]], list[str]]:
    """Return a function that turns cells into text, with numbers formatted for the language."""

    def figure(text: str) -> str:
        return say(Message("report.figure", {"figure": text}))

    def read(cells: Iterable[Cell]) -> list[str]:
        texts = ((isinstance(cell, str), cell_text(cell, say)) for cell in cells)
        return [
            figure(t) if is_text and t.lstrip("+-±")[:1].isdigit() else t for is_text, t in texts
        ]

    if figure("2.5") == "2.5":
        return lambda cells: [c if isinstance(c, str) else cell_text(c, say) for c in cells]
    return read


def cell_text(cell: Cell, say: Say) -> str:
    """Return a cell as text."""
    if isinstance(cell, str):
        return cell
    return say(cell) if isinstance(cell, Message) else "; ".join(map(say, cell))
