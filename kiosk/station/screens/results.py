"""Results of an inspection: what it is, what is wrong, and why; a page each."""

from __future__ import annotations

from collections.abc import Callable, Sequence, Sized
from dataclasses import dataclass

from kiosk.plan.model import Phase
from kiosk.run.classes import DEFECTS, cause_word, causes_of, defect_word
from kiosk.run.commands import Inspect, Verb
from kiosk.run.model import Stage
from kiosk.run.views import View
from kiosk.station.boxes import Box
from kiosk.station.screens.page import Page
from kiosk.station.theme import PAPER
from kiosk.station.type import CAPITAL, Style, height
from kiosk.station.widgets.paper_button import PaperButton, alike

GOOD = (Stage.GOOD, "good")
RESULTS = ((Stage.REWORK, "rework"), (Stage.SCRAP, "scrap"), (Stage.ACCEPTED, "accept"))


@dataclass(frozen=True, slots=True)
class Judging:
    """How far an inspection has come: the result, then the class of defect."""

    ticket: str
    number: str
    stage: Stage
    defect: str = ""


Turn = Callable[[Judging], None]


def draw_results(page: Page, view: View, box: Box, turn: Turn) -> None:
    """Draw the results that the bar does not give; on a dark screen, whose they are."""
    scale = page.scale
    gap = scale.mm(2.5)
    if page.shade.ground != PAPER:
        box = _whose(page, view, box, gap)
    results = _results_of(view)
    columns = 1
    while columns < len(results) and _tall(results, columns, scale.target, gap) > box.h:
        columns += 1
    boxes = box.grid(columns, -(-len(results) // columns), gap)
    for place, (stage, word) in zip(boxes, results, strict=False):
        _result(page, view, place, stage, word, turn)


def _whose(page: Page, view: View, box: Box, gap: float) -> Box:
    """Say whose result is asked for, above the buttons or beside them; returns their room."""
    scale = page.scale
    title = page.word("how_is_it", number=view.inspect_number)
    large, small = height(1, scale.line / CAPITAL), height(1, scale.small / CAPITAL)
    spare = box.h - scale.target - gap
    if spare >= small:
        row, rest = box.from_top(min(large, spare), gap)
    else:
        across = len(_results_of(view)) * (scale.target + gap)
        row, rest = box.from_left(min(box.w * 0.22, max(0.0, box.w - across)), gap)
    page.text(title, row, Style(scale.small, scale.line * 1.2, bold=True))
    return rest


def results_width(page: Page, view: View, height: float) -> float:
    """Return the least width of the results in px, in a column of `height` pixels."""
    count, gap = len(_results_of(view)), page.scale.mm(2.5)
    columns = 1
    while columns < count and _tall(range(count), columns, page.scale.target, gap) > height:
        columns += 1
    return columns * page.scale.mm(33 if columns == 1 else 26) + (columns - 1) * gap


def _results_of(view: View) -> tuple[tuple[Stage, str], ...]:
    """Before its final a garment of unknown outcome goes on, by the bar, or is scrap."""
    meaning = view.bar.meaning
    if meaning is not None and meaning.verb is Verb.GO_ON and view.phase is not Phase.FINAL:
        return tuple(each for each in RESULTS if each[0] is Stage.SCRAP)
    return RESULTS if _bar_says_good(view) else (GOOD, *RESULTS)


def _tall(results: Sized, columns: int, row: float, gap: float) -> float:
    rows = -(-len(results) // columns)
    return rows * row + (rows - 1) * gap


def _bar_says_good(view: View) -> bool:
    meaning = view.bar.meaning
    return meaning is not None and meaning.ticket == view.inspect_ticket


def _result(page: Page, view: View, box: Box, stage: Stage, word: str, turn: Turn) -> None:
    judging = Judging(view.inspect_ticket, view.inspect_number, stage)
    title = page.word(word)
    if stage is Stage.GOOD and view.stage_peel is not None:
        word, title = "stage", page.word("stage", peel=page.say(view.stage_peel))
    line = page.word(f"{word}_line") if box.h > page.scale.mm(16.5) else ""
    good = Inspect(view.inspect_ticket, stage)
    ask = (lambda: page.act(good)) if stage is Stage.GOOD else (lambda: turn(judging))
    page.add(PaperButton(box, page.scale, title, ask, line, "left"))


def draw_judging(page: Page, judging: Judging, content: Box, turn: Turn) -> None:
    """Draw the classes of defect, or the causes of one, over the whole content."""
    if judging.defect:
        title = page.word("why", number=judging.number)
        words = [(cause, page.say(cause_word(cause))) for cause in causes_of(judging.defect)]
        _grid(page, content, title, words, lambda cause: _judge(page, judging, cause))
        return
    title = page.word("what_is_wrong", number=judging.number)
    words = [(defect.id, page.say(defect_word(defect.id))) for defect in DEFECTS]
    _grid(page, content, title, words, lambda defect: turn(_with(judging, defect)))


def _with(judging: Judging, defect: str) -> Judging:
    return Judging(judging.ticket, judging.number, judging.stage, defect)


def _judge(page: Page, judging: Judging, cause: str) -> None:
    page.act(Inspect(judging.ticket, judging.stage, judging.defect, cause))


def _grid(
    page: Page,
    content: Box,
    title: str,
    words: Sequence[tuple[str, str]],
    choose: Callable[[str], None],
) -> None:
    scale, gap = page.scale, page.scale.mm(2.0)
    columns = 2 if scale.portrait else 3
    head = height(1, scale.line / CAPITAL) + gap
    while -(-len(words) // columns) * (scale.target + gap) > content.h - head:
        columns += 1
    rows = -(-len(words) // columns)
    top, room = content.from_top(head - gap, gap)
    page.text(title, top, Style(scale.small, scale.line * 1.2, bold=True, rows=1))
    tall = min(room.h, rows * scale.mm(22) + (rows - 1) * gap)
    boxes = room.from_top(tall)[0].grid(columns, rows, gap)
    placed = [(box, word, "") for box, (_, word) in zip(boxes, words, strict=False)]
    most = alike(scale, placed)
    for box, (key, word) in zip(boxes, words, strict=False):
        _choice(page, box, word, lambda key=key: choose(key), most)  # type: ignore[misc]  # mypy


def _choice(page: Page, box: Box, word: str, act: Callable[[], None], most: float) -> None:
    page.add(PaperButton(box, page.scale, word, act, most=most))
