"""Results of an inspection: the result, the defect, its cause; one page each."""

from collections.abc import Callable, Sized
from dataclasses import replace

from kiosk.catalog.base import Degrees, converted
from kiosk.catalog.model import Peel
from kiosk.run.show import View
from kiosk.run.state import (
    DEFECTS,
    CoolingPlace,
    TicketStage,
    TouchFeel,
    cause_word,
    causes_of,
    defect_word,
)
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.station.desk.sheet import cautions
from kiosk.station.glass.boxes import Box
from kiosk.station.glass.screens.ask import Choices
from kiosk.station.glass.screens.foot import ChoiceProgress, Judging, Turn, columns_for, grid
from kiosk.station.glass.screens.page import WorkPage
from kiosk.station.glass.theme import PAPER
from kiosk.station.glass.type import CAPITAL, NARROWEST, Style, height
from kiosk.station.glass.widgets.buttons import NumberPad, PaperButton, alike
from kiosk.station.glass.widgets.text import CautionBox
from kiosk.words.speak import TOUCH

GOOD = (TicketStage.GOOD, "good")
CARD = (TicketStage.GOOD, "card")
COOLING = (None, "cooling")
ONE_ROW = 4  # more would be narrower than their words
LINE_MM = 20.0  # a narrower button fits only its word
MOST_ROW_MM = 30.0  # so that a single result does not fill the screen
LEAST_GAP_MM = 1.5  # between results, if a glove's width leaves no more
RESULTS = (
    (TicketStage.REWORK, "rework"),
    (TicketStage.SCRAP, "scrap"),
    (TicketStage.ACCEPTED, "accept"),
)


def draw_results(page: WorkPage, view: View, box: Box, turn: Turn, choices: Choices) -> None:
    """Draw the results that the bar does not give; if it gives none, a pedal steps through them."""
    scale = page.scale
    results = _results_of(view)
    gap = _gap(page, len(results), box)
    if page.shade.ground != PAPER:
        box = _draw_title(page, view, box, gap)
    columns = 1
    while columns < len(results) and _tall(results, columns, scale.target, gap) > box.h:
        columns += 1
    if columns > 1:  # a glove comes before the gap
        gap = min(
            gap, max(scale.mm(LEAST_GAP_MM), (box.w - columns * scale.target) / (columns - 1))
        )
    rows = -(-len(results) // columns)
    tall = min(box.h, rows * scale.mm(MOST_ROW_MM) + (rows - 1) * gap)
    wides = _wides(page, [word for _, word in results], columns, box.w - gap * (columns - 1))
    boxes = _whole_rows(box.from_top(tall)[0].table(wides, rows, gap), len(results))
    texts = [_texts_of(page, view, *each) for each in zip(boxes, results, strict=True)]
    if not all(line for _, line in texts):  # all of them have a second line, or none has
        texts = [(title, "") for title, _ in texts]
    placed = [(place, *words) for place, words in zip(boxes, texts, strict=True)]
    most = alike(scale, placed, NARROWEST * scale.small / scale.label)
    for place, (stage, _), words in zip(boxes, results, texts, strict=True):
        button = PaperButton(
            place, scale, words[0], _action(page, view, stage, turn), words[1], "left", most=most
        )
        page.add(button)
        if view.bar.meaning is None:
            choices.buttons.append(button)


def _wides(page: WorkPage, words: list[str], columns: int, wide: float) -> tuple[float, ...]:
    """Return the columns' widths; the last result of a short row fits in any case."""
    full = len(words) if len(words) % columns == 0 else len(words) - 1
    labels = [page.word(word) for word in words[:full]]
    return columns_for(page.scale, wide, [labels[nth::columns] for nth in range(columns)])


def _whole_rows(boxes: tuple[Box, ...], count: int) -> tuple[Box, ...]:
    """Return `count` boxes; the last one fills its row."""
    last = boxes[count - 1]
    return (*boxes[: count - 1], last._replace(w=max(each.right for each in boxes) - last.x))


def _gap(page: WorkPage, count: int, box: Box) -> float:
    """Return the gap between results: small if they would otherwise be too narrow for gloves."""
    scale, wide = page.scale, page.scale.mm(2.5)
    low = _tall(range(count), 2, scale.target, wide) > box.h
    tight = low and count * scale.target + (count - 1) * wide > box.w
    return scale.mm(1.4) if tight else wide


def _draw_title(page: WorkPage, view: View, box: Box, gap: float) -> Box:
    """Write whose result is asked for, above or beside the buttons; return their room."""
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


def results_rows(page: WorkPage, view: View, width: float) -> int:
    """Return the number of rows for the results on a screen `width` pixels wide."""
    count, gap = len(_results_of(view)), page.scale.mm(LEAST_GAP_MM)
    fits = count * (page.scale.target + gap) - gap <= width
    near = page.scale.near  # its words need the second row more
    return 1 if count <= ONE_ROW or (near and fits) else 2


def results_width(page: WorkPage, view: View, height: float) -> float:
    """Return the least width of the results in px, in a column of `height` pixels."""
    count, gap = len(_results_of(view)), page.scale.mm(2.5)
    columns = 1
    while columns < count and _tall(range(count), columns, page.scale.target, gap) > height:
        columns += 1
    return columns * page.scale.mm(33 if columns == 1 else 26) + (columns - 1) * gap


Result = tuple[TicketStage | None, str]


def _results_of(view: View) -> tuple[Result, ...]:
    if view.inspect_card:
        return (CARD,)
    if view.inspect_scrap:
        return tuple(each for each in RESULTS if each[0] is TicketStage.SCRAP)
    found: tuple[Result, ...] = RESULTS if _bar_says_good(view) else (GOOD, *RESULTS)
    return (*found, COOLING) if view.inspect_cools else found


def _tall(results: Sized, columns: int, row: float, gap: float) -> float:
    rows = -(-len(results) // columns)
    return rows * row + (rows - 1) * gap


def _bar_says_good(view: View) -> bool:
    meaning = view.bar.meaning
    return meaning is not None and meaning.ticket == view.inspect_ticket


def _texts_of(page: WorkPage, view: View, box: Box, result: Result) -> tuple[str, str]:
    """Return the label of a result, and the line below it if there is room."""
    stage, word = result
    title = page.word(word)
    if stage is TicketStage.GOOD and view.stage_peel is not None:
        word, title = "stage", page.word("stage", peel=page.say(view.stage_peel))
    roomy = box.h > page.scale.mm(16.5) and box.w > page.scale.mm(LINE_MM)
    return title, page.word(f"{word}_line") if roomy else ""


def _action(
    page: WorkPage, view: View, stage: TicketStage | None, turn: Turn
) -> Callable[[], None]:
    judging = Judging(view.inspect_ticket, view.inspect_number, stage)
    good = c.Inspect(view.inspect_ticket, TicketStage.GOOD)
    return (lambda: page.act(good)) if stage is TicketStage.GOOD else (lambda: turn(judging))


def draw_judging(
    page: WorkPage, view: View, content: Box, judging: Judging, progress: ChoiceProgress
) -> None:
    """Draw the classes of defect, or the causes of one, over the whole content."""
    if judging.stage is None:
        draw_cooling(page, view, content, judging, progress)
    elif judging.defect:
        title = page.word("why", number=judging.number)
        words = [
            (page.say(cause_word(cause)), _judge(page, judging, cause))
            for cause in causes_of(judging.defect)
        ]
        grid(page, content, title, words, progress.choices)
    else:
        title = page.word("what_is_wrong", number=judging.number)
        words = [
            (page.say(defect_word(defect.id)), _turn_to(progress, judging, defect.id))
            for defect in DEFECTS
        ]
        grid(page, content, title, words, progress.choices)


def _turn_to(progress: ChoiceProgress, judging: Judging, defect: str) -> Callable[[], None]:
    return lambda: progress.turn(replace(judging, defect=defect))


def _judge(page: WorkPage, judging: Judging, cause: str) -> Callable[[], None]:
    stage = judging.stage or TicketStage.REWORK
    return lambda: page.act(c.Inspect(judging.ticket, stage, judging.defect, cause))


def draw_cooling(
    page: WorkPage, view: View, content: Box, judging: Judging, progress: ChoiceProgress
) -> None:
    """Draw where it can lie and how it can feel, or a pad for a thermometer's reading."""
    ticket = judging.ticket
    if judging.reads:
        title = page.word("reading", number=judging.number)
        _pad(page, content, title, ticket, progress)
        return
    places = {CoolingPlace.LIFTED: "lifted", CoolingPlace.ON_PAD: "on_pad"}
    words = [
        (
            page.word(f"{word}{'_said' if view.inspect_lies is place else ''}"),
            _report_place(page, ticket, place),
        )
        for place, word in places.items()
    ]
    warm = next((chip.peel is Peel.WARM for chip in view.chips if chip.ticket == ticket), False)
    feelings = {TouchFeel.READY: "feels_ready", TouchFeel.NOT_READY: "feels_not_ready"}
    words += [
        (page.word(f"{word}{'_warm' if warm else ''}"), _report_feel(page, ticket, feels))
        for feels, word in feelings.items()
    ]
    words.append((page.word("thermometer"), lambda: progress.turn(replace(judging, reads=True))))
    box = CautionBox(content, page.scale, cautions(page.words, TOUCH))
    page.add(box)
    content = content.from_top(box.box.h, page.scale.mm(2.0))[1]
    grid(page, content, page.word("cooling_title", number=judging.number), words, progress.choices)


def _report_place(page: WorkPage, ticket: str, place: CoolingPlace) -> Callable[[], None]:
    return lambda: page.act(s.SayPlace(ticket, place))


def _report_feel(page: WorkPage, ticket: str, feels: TouchFeel) -> Callable[[], None]:
    return lambda: page.act(s.ReportTouch(ticket, feels))


def _pad(page: WorkPage, content: Box, title: str, ticket: str, progress: ChoiceProgress) -> None:
    """Draw a pad for whole degrees of the station's unit."""
    scale = page.scale
    head = height(1, scale.line / CAPITAL)
    top, room = content.from_top(head, scale.mm(2.0))
    page.text(title, top, Style(scale.small, scale.line * 1.2, bold=True, rows=1))
    unit = page.settings.temperature
    words = (page.words("page.erase"), page.word("enter"))
    enter = lambda text: _read(page, ticket, int(text), unit)  # noqa: E731 - used once
    keys = NumberPad(room, scale, enter, words, f"°{unit.value}", typed=progress.typed)
    page.add(keys)
    progress.choices.type_by(keys)


def _read(page: WorkPage, ticket: str, degrees: int, unit: Degrees) -> None:
    celsius = round(converted(float(degrees), unit, Degrees.C), 1)
    page.act(s.ReportTouch(ticket, TouchFeel.READING, celsius))
