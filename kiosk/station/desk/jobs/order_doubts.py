"""Pages of an order's doubts, one by one."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from kiosk.catalog.base import Fault, Message, one_line, say
from kiosk.catalog.model import BY_CODE
from kiosk.catalog.roster import (
    COLUMNS,
    EACH,
    KEEP,
    LEAVE_OUT,
    NO_GARMENT,
    QUANTITY,
    Allowed,
    Answer,
    allowed,
    fault_read_as,
    group_id,
    question_groups,
    rows_of,
)
from kiosk.station.desk.desk import Desk, digits, keyboard
from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.jobs.order_reading import OrderReading, signs_of
from kiosk.station.desk.sheet import Button, Sheet
from kiosk.words import Words

LONGEST_NAME, LONGEST_NUMBER = 24, 3


def doubt(desk: Desk, words: Words) -> Sheet:
    """Page of one doubt: the cell, why it is asked about, the possible values."""
    ordering = desk.of(Ordering)
    fault = ordering.doubts[0]
    group = _group_of(fault, ordering)
    if ordering.typing:
        return _write(desk, words, group)
    if len(group) > 1:
        return _ask_once(ordering, group, words)
    if fault.problem.id == LETTERS:
        return _which_letters(ordering, fault, words)
    options = allowed(fault)
    written = one_line(fault.doubt.written if fault.doubt is not None else fault.found)
    return Sheet(
        title=_place_title(fault, len(ordering.doubts), words),
        headline=words("order.stands", text=written) if written else "",
        second=capitalized(words.say(_problem(fault))),
        lines=_row(desk, fault, words),
        choices=tuple(_answers(ordering, fault, options, words)),
    )


BARE_SIZE, BOTH_SETS = "catalog.roster.bare_size", "catalog.roster.both_sets"
MOST_ON_A_BUTTON = 4
MOST_ROWS = 12


def _group_of(fault: Fault, ordering: Ordering) -> tuple[Fault, ...]:
    """Return all questions like this one if they can be asked together, else it alone."""
    name = group_id(fault)
    group = () if name in ordering.row_by_row else question_groups(ordering.doubts).get(name, ())
    return group or (fault,)


def _ask_once(ordering: Ordering, group: Sequence[Fault], words: Words) -> Sheet:
    """Page of equal questions: one answer for all rows, or a page for each row."""
    options = [allowed(fault) for fault in group]
    bare = group[0].problem.id == BARE_SIZE

    def each_row() -> None:
        ordering.row_by_row.add(group_id(group[0]))

    def all_as(texts: Sequence[str]) -> Button:
        pairs = [(fault, Answer(text=t)) for fault, t in zip(group, texts, strict=True)]
        labels = [text or words("order.nothing") for text in texts]
        label = _class_label(texts, words) if bare else words("order.all_as", texts=_few(labels))
        return Button(label, lambda: ordering.answer(*pairs))

    cells = _few([one_line(each.found) for each in group if each.found])

    def buttons() -> Iterator[Button]:
        yield from map(all_as, zip(*(each.choices for each in options), strict=True))
        if all(each.keep for each in options):
            answers = [(fault, Answer(decision=KEEP)) for fault in group]
            yes_no = not group[0].key or group[0].problem.id == BOTH_SETS  # answered by yes or no
            label = words("order.yes" if yes_no else "order.all_right")
            yield Button(label, lambda: ordering.answer(*answers))
        if options[0].writes and not options[0].choices and cells:  # nobody types one name for all
            yield Button(words("order.type"), partial(ordering.type_instead, group[0]))
        yield Button(words("order.row_by_row"), each_row)

    problem = say("order.of_rows", count=len(group), problem=group[0].problem)
    second = say("order.bare_sizes", count=len(group)) if bare else problem
    return Sheet(
        title=words("order.asked_of_all", count=len(ordering.doubts)),
        headline=words("order.stands", text=", ".join(cells)) if cells else "",
        second=words.say(second),
        lines=(words("order.bare_rows", rows=_few(rows_of(group), MOST_ROWS)),),
        choices=tuple(buttons()),
    )


def _class_label(sizes: Sequence[str], words: Words) -> str:
    codes = tuple(sorted(set(sizes), key=tuple(BY_CODE).index))
    return words(f"order.all_{BY_CODE[codes[0]].size_class.value}", sizes=codes)


def _few(texts: Sequence[str], most: int = MOST_ON_A_BUTTON) -> tuple[str, ...]:
    """Return each text once, cut short to what can be read at a glance."""
    each = tuple(dict.fromkeys(texts))
    return each if len(each) <= most else (*each[: most - 1], "…")


LETTERS = "catalog.roster.code_page"
MOST_SAMPLES = 3


def _which_letters(ordering: Ordering, fault: Fault, words: Words) -> Sheet:
    """Page of sample cells, as each possible encoding of the file reads them."""
    signs = fault_read_as(fault).split()
    cells = dict.fromkeys(cell for row in _reading(ordering).lines.values() for cell in row)
    samples = [cell for cell in cells if any(sign in cell for sign in signs)]
    sample = " · ".join(samples[:MOST_SAMPLES])

    def choice(letters: str, answer: Answer) -> Button:
        pairs = zip(signs, letters.split(), strict=True)
        text = sample.translate({ord(sign): other for sign, other in pairs})
        return Button(one_line(text or letters), lambda: ordering.answer((fault, answer)))

    others = (choice(each, Answer(text=each)) for each in allowed(fault).choices)
    return Sheet(
        title=_place_title(fault, len(ordering.doubts), words),
        second=capitalized(words.say(fault.problem)),
        choices=(choice(" ".join(signs), Answer(decision=KEEP)), *others),
    )


def _problem(fault: Fault) -> Message:
    return say("order.which") if fault.problem.id == UNKNOWN else fault.problem


def capitalized(text: str) -> str:
    """Return a sentence of the checker with a capital: there it follows a place, here nothing."""
    at = len(text) - len(text.lstrip("¿"))
    return text[:at] + text[at : at + 1].upper() + text[at + 1 :]


UNKNOWN = "catalog.roster.unknown_column"
TOTAL = "catalog.roster.total"


def _place_title(fault: Fault, count: int, words: Words) -> str:
    """Return the row and column asked about, and the number of questions left."""
    if not fault.line:
        return words("order.asked_of_all", count=count)
    field = say(f"page.field.{fault.key}") if fault.key in COLUMNS else ""
    where = words("order.row", row=fault.line)
    return words("order.asked", where=(where, *([field] if field else [])), count=count)


def _row(desk: Desk, fault: Fault, words: Words) -> tuple[str, ...]:
    """Return the other cells of the row, to recognize the player by."""
    ordering = desk.of(Ordering)
    reading = _reading(ordering)
    too_wide = fault.problem.values.get("line")  # about a garment of the job, not a row
    row = reading.lines.get(fault.line, ()) if fault.line else reading.garment(too_wide)
    cells = tuple(one_line(cell) for cell in row if cell)
    read_as = fault_read_as(fault)
    on_buttons = {"", *allowed(fault).choices}  # a button shows it
    differs = fault.doubt is not None and read_as not in {fault.doubt.written, *on_buttons}
    read_line = (words("order.read_as", text=read_as),) if differs else ()
    return (*read_line, *((words("order.cells_of_row", cells=cells),) if cells else ()))


def _answers(ordering: Ordering, fault: Fault, options: Allowed, words: Words) -> Iterator[Button]:
    """Yield the answers: values, most likely first; as written; another value; leave it out."""

    def put(answer: Answer) -> Callable[[], None]:
        return lambda: ordering.answer((fault, answer))

    if fault.problem.id != UNKNOWN:
        for text in options.choices:
            label = words("order.garments", text=text) if fault.key == QUANTITY else text
            label = words("order.row_by_row") if text == EACH else label
            yield Button(label or words("order.nothing"), put(Answer(text=text)))
    if fault.problem.id == TOTAL:
        yield Button(words("order.total"), put(Answer(decision=LEAVE_OUT)))
        yield Button(words("order.no_total"), put(Answer(decision=KEEP)))
        return
    if fault.cause in NO_GARMENT:
        leaving = _leave_label(fault)
        keeping = "order.garment" if leaving == "order.leave_row" else "order.are_garments"
        yield Button(words(leaving), put(Answer(decision=LEAVE_OUT)))
        yield Button(words(keeping), put(Answer(decision=KEEP)))
        return
    if options.keep:
        yield Button(*_keep_label(fault, words), put(Answer(decision=KEEP)))
    if options.writes:
        other = "order.other" if options.choices or options.keep else "order.type"
        yield Button(words(other), partial(ordering.type_instead, fault))
    if options.leave_out:
        yield Button(words(_leave_label(fault)), put(Answer(decision=LEAVE_OUT)))


def _leave_label(fault: Fault) -> str:
    """Return what leaving out means: a column, a row, or all rows hidden or crossed out."""
    if fault.problem.id in COLUMN_OUT:
        return "order.unused"
    rows = fault.problem.values.get("rows")
    return "order.leave_rows" if isinstance(rows, tuple) and len(rows) > 1 else "order.leave_row"


COLUMN_OUT = {UNKNOWN, "catalog.roster.hidden_column"}
NONE_RIGHT = {"catalog.roster.no_name", "catalog.roster.no_number"}


def _keep_label(fault: Fault, words: Words) -> tuple[str]:
    if fault.problem.id in NONE_RIGHT:
        return (words("order.none_right"),)
    if fault.problem.id == "catalog.roster.quantity":
        return (words("order.one_garment"),)
    if fault.problem.id == BOTH_SETS:
        return (words("order.yes"),)
    text = one_line(fault_read_as(fault)) if fault.key in COLUMNS and fault.line else ""
    return (words("order.keep", text=text) if text else words("order.yes"),)


def _write(desk: Desk, words: Words, group: Sequence[Fault]) -> Sheet:
    """Page to enter the right value, a size or typed text, for all questions of `group`."""
    ordering, fault = desk.of(Ordering), group[0]

    def answer(text: str) -> None:
        ordering.answer(*((each, Answer(text=text)) for each in group))

    def put() -> None:
        if desk.entry.strip() or fault.key != QUANTITY:
            answer(desk.entry.strip())

    title = _place_title(fault, len(ordering.doubts), words)
    if fault.key == "size":
        sizes = (Button(c, partial(answer, c)) for c in BY_CODE)
        return Sheet(title, choices=tuple(sizes), columns=5)
    numeric = fault.key in {"number", QUANTITY}
    keys = (
        digits(desk, words, LONGEST_NUMBER)
        if numeric
        else (*keyboard(desk, words, LONGEST_NAME), *_own_keys(desk))
    )
    none = not desk.entry.strip() and fault.key != QUANTITY
    main = Button(words("order.write_none" if none else "page.enter"), put)
    return Sheet(title, entry=desk.entry, choices=keys, columns=6 if numeric else 9, main=main)


def _reading(ordering: Ordering) -> OrderReading:
    reading = ordering.reading
    assert reading is not None  # a question is open
    return reading


def _own_keys(desk: Desk) -> tuple[Button, ...]:
    """Return keys for signs that occur in this order's names and on no other key."""
    table = _reading(desk.of(Ordering)).table
    signs = () if table is None else signs_of(table)
    return tuple(Button(sign, partial(desk.type, sign, LONGEST_NAME)) for sign in signs)
