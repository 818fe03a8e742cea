"""Pages of what an order is made of: films by element, colours, materials not known yet."""

from functools import partial

from kiosk.catalog.model import Material, Recipe, colours_of, refilmed
from kiosk.plan.phrases import element_word
from kiosk.plan.settings import can_press
from kiosk.station.desk.desk import Desk, keyboard
from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.new_entry import ask_new_entry
from kiosk.words import Words

LONGEST_COLOUR = 24
Elements = tuple[str, ...]


def start_entry(desk: Desk, words: Words) -> Button:
    """Button to enter a new film, fabric or press; returns to the list of jobs."""

    def ask() -> None:
        ask_new_entry(desk, "", back_to_jobs)

    def back_to_jobs(key: str) -> None:
        desk.go(PageKind.JOBS)
        if key in desk.library.catalog.materials:
            desk.of(Ordering).new_film = key

    return Button(words("entry.start"), ask)


def enter(desk: Desk, kind: str) -> None:
    """Enter a new `kind` and return: a fabric or press is then chosen, a material listed first."""

    def then(key: str) -> None:
        desk.library.read()
        desk.go(PageKind.ORDER)
        if key and kind == "material":
            desk.of(Ordering).new_film = key
        elif key:
            desk.of(Ordering).choose(kind, key)

    ask_new_entry(desk, kind, then)


class AllowedFilms:
    """Films that the order's settings allow, looked up once for each state of the order."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._allowed: dict[object, tuple[Material, ...]] = {}

    def films(self, recipe: Recipe, elements: Elements) -> tuple[Material, ...]:
        """Return the films that these elements can be made of, the latest one first."""
        ordering, catalog = self._desk.of(Ordering), self._desk.library.catalog
        assert ordering.reading is not None  # so in this step
        order = ordering.reading.order
        key = (recipe, elements, order.fabric, order.press, *map(id, catalog.materials.values()))
        if key not in self._allowed:
            fabric, press = catalog.fabrics[order.fabric], catalog.presses[order.press]
            self._allowed = {key: tuple(
                film for film in catalog.materials.values()
                if can_press(refilmed(recipe, dict.fromkeys(elements, film)), fabric, press,
                             catalog.policy, catalog.materials)
            )}  # fmt: skip
        return tuple(sorted(self._allowed[key], key=lambda film: film.key != ordering.new_film))


def colours(desk: Desk, words: Words) -> Sheet:
    """Page of the film and the colours of each element."""
    ordering, catalog = desk.of(Ordering), desk.library.catalog
    recipe = ordering.recipe
    assert recipe is not None  # chosen before the colours
    layers = {e.name: e.layers for panel in recipe.panels for e in panel.elements}

    def ask(colour: str) -> None:
        ordering.colour = colour

    def ask_film(element: str) -> None:
        ordering.element = element

    def choice(colour: str) -> Button:
        film = ordering.films.get(colour, colour)
        line = words("order.colour_of", colour=colour) if film != colour else ""
        return Button(film, partial(ask, colour), line or words("order.colour_key"))

    def film_key(element: str) -> Button:
        titles = dict.fromkeys(catalog.materials[each.material].title for each in layers[element])
        label = words("order.film_of", element=element_word(element), films=tuple(titles))
        return Button(label, partial(ask_film, element))

    return Sheet(
        title=words("order.colours"),
        lines=(words("order.colours_line"), *_not_accepted(desk, recipe, tuple(layers), words)),
        choices=(
            *map(film_key, layers),
            *_for_all(desk, recipe, tuple(layers), words),
            *map(choice, ordering.colours),
            Button(words("entry.new.material"), lambda: enter(desk, "material")),
        ),
        columns=2,
        main=Button(words("order.colours_main"), ordering.confirm_colours),
    )


def _new_film(desk: Desk, recipe: Recipe) -> Material | None:
    """Return the film entered or chosen last; None without one, or if all is made of it already."""
    film = desk.library.catalog.materials.get(desk.of(Ordering).new_film)
    used = {x.material for panel in recipe.panels for e in panel.elements for x in e.layers}
    return None if film is None or used == {film.key} else film


def _for_all(desk: Desk, recipe: Recipe, elements: Elements, words: Words) -> tuple[Button, ...]:
    """Return the button to make all elements of the latest film, if that can be pressed."""
    film, ordering = _new_film(desk, recipe), desk.of(Ordering)
    if film is None or film not in desk.of(AllowedFilms).films(recipe, elements):
        return ()
    label = words("order.film_all", film=film.title, count=len(elements))
    return (Button(label, lambda: ordering.make_of(elements, film.key)),)


def _not_accepted(desk: Desk, recipe: Recipe, elements: Elements, words: Words) -> tuple[str, ...]:
    """Return why the latest film is not offered for all elements."""
    film, reading = _new_film(desk, recipe), desk.of(Ordering).reading
    if film is None or reading is None or film in desk.of(AllowedFilms).films(recipe, elements):
        return ()
    fabric = desk.library.catalog.fabrics[reading.order.fabric].title
    return (words("order.film_not", film=film.title, fabric=fabric, press=reading.order.press),)


def film(desk: Desk, words: Words) -> Sheet:
    """Page of the shop's films that an element can be made of in this order."""
    ordering, recipe = desk.of(Ordering), desk.of(Ordering).recipe
    assert recipe is not None
    element, unit = ordering.element, desk.library.station.temperature

    def choice(film: Material) -> Button:
        low, high = (each.whole_in(unit) for each in (film.temperature.low, film.temperature.high))
        line = words("order.film_line", low=low, high=high, unit=unit.value)
        return Button(film.title, lambda: ordering.make_of((element,), film.key), line)

    return Sheet(
        title=words("order.film", element=element_word(element)),
        lines=(words("order.film_head"),),
        choices=tuple(map(choice, desk.of(AllowedFilms).films(recipe, (element,)))),
    )


def colour(desk: Desk, words: Words) -> Sheet:
    """Page of the shop's colours, from recipes, packs and stock; or another one."""
    ordering, catalog = desk.of(Ordering), desk.library.catalog
    asked = ordering.colour or ""
    if ordering.typing:
        return Sheet(
            title=words("order.colour", colour=asked),
            entry=desk.entry,
            choices=keyboard(desk, words, LONGEST_COLOUR),
            columns=9,
            main=Button(words("page.enter"), ordering.use_typed_colour),
        )
    found = [each for recipe in catalog.recipes.values() for each in colours_of(recipe)]
    found += [each.colour for each in catalog.packs.packs if each.colour]
    found += [each.colour for each in catalog.stock or ()]

    def choice(film: str) -> Button:
        return Button(film, lambda: ordering.film(asked, film))

    return Sheet(
        title=words("order.colour", colour=asked),
        choices=(
            *map(choice, sorted(set(filter(None, found)))),
            Button(words("order.colour_other"), ordering.type_colour),
        ),
    )
