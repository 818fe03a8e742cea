"""Pages of taking an order, one question each, in the order they are asked."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial

from kiosk.catalog.base import Message, one_line, say
from kiosk.catalog.model import (
    DyeRisk,
    Fabric,
    Press,
    Recipe,
    RosterColumn,
    colours_of,
    materials_of,
)
from kiosk.catalog.roster import OrderColumns, OrderDetails, OrderDraft, is_made, is_remark
from kiosk.station.desk.desk import Desk, keyboard
from kiosk.station.desk.jobs import order_doubts, order_ends, order_films
from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.jobs.order_films import enter
from kiosk.station.desk.jobs.order_reading import OrderFile, OrderStep
from kiosk.station.desk.sheet import Button, Card, Sheet
from kiosk.words import Words

SAMPLE = "7"  # on a recipe's shirt before the roster is read
LONGEST_TITLE = 40


def start(desk: Desk, words: Words) -> Button:
    """Button to start a new order or resume one."""
    return Button(words("order.new"), desk.of(Ordering).show_files)


def order(desk: Desk, words: Words) -> Sheet:
    """Page of the order's next step."""
    ordering = desk.of(Ordering)
    step = ordering.step
    page = PAGES[step](desk, words)
    if step is OrderStep.FILE:
        return replace(page, left=Button(words("page.back"), ordering.leave))
    later = Button(words("order.later"), ordering.leave)
    left = Button(words("page.back"), ordering.back)
    return replace(page, left=left, right=page.right or later)


# -- file, columns ------------------------------------------------------------


def _file(desk: Desk, words: Words) -> Sheet:
    ordering = desk.of(Ordering)

    def draft_button(draft: OrderDraft) -> Button:
        line = words("order.begun", count=len(draft.answers()))
        return Button(draft.key, lambda: ordering.go_on(draft), line)

    def file_button(file: OrderFile) -> Button:
        line = words("order.on_stick", stick=file.stick) if file.stick else words("order.in_inbox")
        if not file.readable:
            line = words("order.not_read")
        if file.job:
            line = words("order.already", job=one_line(file.job), day=file.since)
        return Button(one_line(file.path.name), lambda: ordering.begin(file), line)

    files = ordering.files
    looking = (words("order.looking"),) if files is None else ()
    none = (words("order.no_files"),) if files == () else ()
    return Sheet(
        title=words("order.file"),
        lines=(*looking, *none, words("order.file_line")),
        choices=(*map(draft_button, ordering.drafts), *map(file_button, files or ())),
        main=Button(words("order.look_again"), ordering.show_files),
    )


def _reading(desk: Desk, words: Words) -> Sheet:
    reading = desk.of(Ordering).reading
    table = None if reading is None else reading.table
    count = 0 if table is None else table.garments
    return Sheet(title=words("order.reading", count=count) if count else words("order.looking"))


def _heading_lines(table: OrderColumns, words: Words) -> Iterator[str]:
    """Yield sentences on the file's headings, known or guessed, and the rows above them."""
    count = words("order.columns_line", count=table.garments)
    yield words("order.no_headings") if table.headless else count
    if table.questions and not table.headless:
        yield words("order.guessed")
    above = tuple(one_line(cell) for row in table.rows[: table.header] for cell in row if cell)
    if above:
        yield words("order.above", cells=above)


def _columns(desk: Desk, words: Words) -> Sheet:
    """Page of each column, the field assigned to it and its first cells; a touch changes it."""
    ordering = desk.of(Ordering)
    assert ordering.reading is not None  # so in this step
    table, order_ = ordering.reading.table, ordering.reading.order
    assert table is not None

    def ask(header: str) -> None:
        ordering.column = header

    choices, unassigned = [], []
    for column, below in zip(table.columns, table.first_cells, strict=True):
        if not below or not column.header:
            continue
        assigned = _field_of(column, order_)
        if assigned is None:
            unassigned.append(column.header)
        field = assigned or say("order.not_known")
        line = words("order.column_line", field=field, cells=tuple(map(one_line, below)))
        choices.append(Button(_heading(column.header, words), partial(ask, column.header), line))
    main = Button(words("page.columns_main"), ordering.confirm_columns)
    if unassigned:
        main = Button(
            _column_sentence("order.say_column", unassigned[0], words), lambda: ask(unassigned[0])
        )
    elif not any(column.field == "size" for column in table.columns):
        main = Button(words("order.no_size"), lambda: None)
    return Sheet(
        title=words("page.columns"),
        lines=tuple(_heading_lines(table, words)),
        choices=(
            *choices,
            Button(one_line(order_.title), ordering.ask_name, words("order.name_line")),
        ),
        main=main,
    )


def _heading(header: str, words: Words) -> str:
    """Return a heading, or the column's letter if the file has none."""
    return words("order.lettered", letter=header[1:-1]) if is_made(header) else one_line(header)


def _column_sentence(id_: str, header: str, words: Words) -> str:
    """Return a sentence about a column, named by its heading or its letter."""
    if is_made(header):
        return words(f"{id_}_lettered", letter=header[1:-1])
    return words(id_, header=one_line(header))


def _field_of(column: RosterColumn, order: OrderDetails) -> Message | None:
    """Return the field assigned to a column, or None if it is still open."""
    if column.field:
        return say(f"page.field.{column.field}")
    unused = column.header in order.unused or is_remark(column.header)
    return say("order.unused") if unused else None


def _name(desk: Desk, words: Words) -> Sheet:
    """Page of the job's name, where the order can also be thrown away."""
    ordering = desk.of(Ordering)
    return Sheet(
        title=words("order.name"),
        entry=desk.entry,
        choices=keyboard(desk, words, LONGEST_TITLE),
        columns=9,
        main=Button(words("page.enter"), ordering.name),
        right=Button(words("order.drop"), ordering.ask_to_drop),
    )


def _dropping(desk: Desk, words: Words) -> Sheet:
    """Page that asks before the order and its answers are thrown away."""
    ordering = desk.of(Ordering)
    return Sheet(
        title=words("order.drop_title"),
        lines=(words("order.drop_line"),),
        main=Button(words("order.drop_main"), ordering.drop),
    )


def _column(desk: Desk, words: Words) -> Sheet:
    ordering = desk.of(Ordering)
    header = ordering.column or ""
    assert ordering.reading is not None
    table = ordering.reading.table
    assert table is not None
    below = next(
        b for c, b in zip(table.columns, table.first_cells, strict=True) if c.header == header
    )

    def choice(field: str) -> Button:
        label = words.say(say(f"page.field.{field}" if field else "order.unused"))
        return Button(label, lambda: ordering.assign(header, field))

    return Sheet(
        title=_column_sentence("order.column", header, words),
        lines=(words("order.cells", cells=tuple(map(one_line, below))),),
        choices=tuple(map(choice, ("name", "number", "size", "set", "line", "quantity", ""))),
        columns=2,
    )


# -- recipe, fabric, press ----------------------------------------------------


def _recipe(desk: Desk, words: Words) -> Sheet:
    ordering = desk.of(Ordering)

    def choice(key: str, recipe: Recipe) -> Button:
        line = _recipe_line(desk, recipe, words)
        return Button(
            recipe.title, lambda: ordering.choose("recipe", key), line, recipe_card(recipe)
        )

    recipes = desk.library.catalog.recipes
    material = Button(words("entry.new.material"), lambda: enter(desk, "material"))
    film = desk.library.catalog.materials.get(ordering.new_film)
    new_film = (words("order.fresh", film=film.title),) if film else ()
    return Sheet(
        title=words("order.recipe"),
        lines=(*new_film, words("order.recipe_head")),
        choices=(*(choice(k, r) for k, r in recipes.items()), material),
        columns=2,
    )


def _recipe_line(desk: Desk, recipe: Recipe, words: Words) -> str:
    """Return the temperatures all its films allow, and its colours; its title names the films."""
    sheets, unit = desk.library.catalog.materials, desk.library.station.temperature
    films = [sheets[key] for key in materials_of(recipe)]
    low = max(film.temperature.low.whole_in(unit) for film in films)
    high = min(film.temperature.high.whole_in(unit) for film in films)
    heat = words("order.film_line", low=low, high=high, unit=unit.value) if low <= high else ""
    return " · ".join(filter(None, (heat, ", ".join(colours_of(recipe)))))


def recipe_card(recipe: Recipe) -> Card:
    """Return a shirt with the number, and the name, that a recipe puts on it."""
    elements = [element for panel in recipe.panels for element in panel.elements]
    number = next((e for e in elements if e.name == "number"), elements[0])
    has_name = any(element.name == "name" for element in elements)
    return Card(
        number=SAMPLE if number.name == "number" else "",
        colour=number.layers[-1].colour,
        name="AB" if has_name else "",
    )


def _fabric(desk: Desk, words: Words) -> Sheet:
    unit = desk.library.station.temperature

    def line(each: Fabric) -> str:
        most = each.temperature_max.whole_in(unit)
        dye = "" if each.dye_risk is DyeRisk.NONE else words(f"order.dye.{each.dye_risk.value}")
        return " · ".join(filter(None, (words("order.up_to", most=most, unit=unit.value), dye)))

    fabrics = desk.library.catalog.fabrics
    choices = {key: (each.title, line(each)) for key, each in fabrics.items()}
    return _shop_entries(desk, words, "fabric", choices)


def _press(desk: Desk, words: Words) -> Sheet:
    def line(each: Press) -> str:
        temperature = each.set_temperature.whole_in(each.unit)
        platen = f"{each.platen_width.text} × {each.platen_height.text}"
        return words("order.press_line", platen=platen, degrees=temperature, unit=each.unit.value)

    presses = desk.library.catalog.presses
    return _shop_entries(
        desk, words, "press", {key: (key, line(each)) for key, each in presses.items()}
    )


def _shop_entries(
    desk: Desk, words: Words, kind: str, entries: Mapping[str, tuple[str, str]]
) -> Sheet:
    """Page of the shop's fabrics or presses (`kind`), each with what helps to choose."""
    ordering = desk.of(Ordering)

    def choice(key: str, title: str, line: str) -> Button:
        return Button(title, lambda: ordering.choose(kind, key), line)

    new = Button(words(f"entry.new.{kind}"), lambda: enter(desk, kind))
    return Sheet(
        title=words(f"order.{kind}"),
        choices=(*(choice(k, *each) for k, each in entries.items()), new),
    )


PAGES: Mapping[OrderStep, Callable[[Desk, Words], Sheet]] = {
    OrderStep.FILE: _file,
    OrderStep.READING: _reading,
    OrderStep.DROPPING: _dropping,
    OrderStep.NAME: _name,
    OrderStep.COLUMNS: _columns,
    OrderStep.COLUMN: _column,
    OrderStep.RECIPE: _recipe,
    OrderStep.FABRIC: _fabric,
    OrderStep.PRESS: _press,
    OrderStep.COLOURS: order_films.colours,
    OrderStep.COLOUR: order_films.colour,
    OrderStep.FILM: order_films.film,
    OrderStep.DOUBT: order_doubts.doubt,
    OrderStep.FAULTS: order_ends.faults,
    OrderStep.PROOF: order_ends.proof,
}
