"""The right answers of a quiz, by brute force from the design's rules, without the plan room.

`truths` says for each option of a question whether it is right. Only the grouping of elements
into closings is taken from the plan; other tests compare that with the reference.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from reference_groups import second_choices, temperature_holds
from reference_rules import (
    FABRIC,
    Part,
    World,
    groups_of,
    peels_at,
    shapes_of,
    sheet_for,
    window_of,
)

from kiosk.catalog.base.notes import Message
from kiosk.train.question import QuizQuestion, Subject

PEELS = ("hot", "warm", "cold")
TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


def truths(subject: Subject, asked: QuizQuestion) -> list[bool]:
    """Return whether each option is right, in their order."""
    return TRUTHS[asked.kind](subject, asked)


def world_of(subject: Subject, margin: bool) -> World:
    return World(subject.fabric, subject.press, subject.policy, margin)


def parts_of_panel(subject: Subject, panel: str) -> tuple[Part, ...]:
    own = next(p for p in subject.recipe.panels if p.name == panel)
    return tuple(part for each in groups_of(own, subject.materials) for part in each)


def both(subject: Subject, asked: QuizQuestion) -> list[bool]:
    """Try every second, with the margin if any temperature is usable with it."""
    group = parts_of_panel(subject, str(asked.ask.values["panel"]))
    fresh = {part.name: 0 for part in group} | {FABRIC: int(subject.fabric.pre_press.value)}
    guarded = world_of(subject, subject.policy.guard_fabric)
    lows, highs = zip(*(window_of(guarded, part)[:2] for part in group), strict=True)
    with_margin = any(
        temperature_holds(guarded, group, (), t)
        and any(True for _ in second_choices(guarded, shapes_of(group, ()), t, fresh))
        for t in range(max(lows), min(highs) + 1)
    )
    world = guarded if with_margin else world_of(subject, margin=False)
    return [_can_be_set(world, group, fresh, option.text) for option in asked.options]


def _can_be_set(
    world: World, group: tuple[Part, ...], fresh: dict[str, int], text: Message
) -> bool:
    degrees = int(str(text.values["temperature"]))
    if not temperature_holds(world, group, (), degrees):
        return False
    rows = list(second_choices(world, shapes_of(group, ()), degrees, fresh))
    return text.values["seconds"] in {row[-1] for row in rows if row[:-1] == rows[0][:-1]}


def hotter(subject: Subject, asked: QuizQuestion) -> list[bool]:
    sheet = next(m for m in subject.materials.values() if m.title == asked.ask.values["title"])
    part = Part("x", "x", 1, 1, False, sheet)
    degrees = int(str(asked.ask.values["high"]))
    world = world_of(subject, margin=False)
    allowed = peels_at(world, shapes_of((part,), ())[-1], part, degrees)
    return [option.text.id == f"quiz.peel.{PEELS[min(allowed)]}" for option in asked.options]


def sheet(subject: Subject, asked: QuizQuestion) -> list[bool]:
    panel, seconds = str(asked.ask.values["panel"]), int(str(asked.ask.values["seconds"]))
    pieces, purpose = asked.ask.values["pieces"], asked.ask.id.rpartition("_")[2]
    assert isinstance(pieces, tuple)
    parts = parts_of_panel(subject, panel)
    closings = next(own for own in subject.plan.settings if own.panel == panel).closings
    groups = {piece: c.group for c in closings for piece in c.pieces}
    here = groups[str(pieces[0])]
    group = tuple(part for part in parts if groups[part.name] == here)
    passengers = tuple(part for part in parts if groups[part.name] < here)
    shape = next(
        shape
        for shape in shapes_of(group, passengers)
        if shape.purpose == purpose and {p.name for p in shape.active} == set(pieces)
    )
    on = sheet_for(world_of(subject, margin=False), shape, seconds)
    return [(option.text.id == "quiz.sheet_on") is on for option in asked.options]


def first(subject: Subject, asked: QuizQuestion) -> list[bool]:
    ranks = [rank(option.text) for option in asked.options]
    return [each == min(ranks) for each in ranks]


def rank(step: Message) -> float:
    """Return a step's rank by design.md section 3: layer by layer, then the final, then the end."""
    name = step.id.rpartition(".")[2]
    word = step.values.get("peel")
    peel = word.id.rpartition(".")[2] if isinstance(word, Message) else "hot"
    late = PEELS.index(peel) / 10
    if "layer" in step.values:
        order = ("lay_layer", "tack", "carrier").index(name)
        return 10 * int(str(step.values["layer"])) + order + late
    ends = ("lay_single", "lay", "cover", "final", "peel", "inspect")
    return ("load", "pre_press").index(name) if name not in ends else 100 + ends.index(name) + late


def hand(subject: Subject, asked: QuizQuestion) -> list[bool]:
    """Art lies turned if the collar is toward the operator, so it reads right to left."""
    number = str(asked.ask.values["number"])
    seen = number[::-1] if subject.press.collar_toward_operator else number
    at_left = seen[0] == asked.ask.values["figure"]
    return [(option.text.id == "quiz.left") is at_left for option in asked.options]


def turn(subject: Subject, asked: QuizQuestion) -> list[bool]:
    return [reads_as_another(str(option.text.values["text"])) for option in asked.options]


def reads_as_another(number: str) -> bool:
    upside_down = "".join(TURNED.get(figure, "?") for figure in reversed(number))
    return "?" not in upside_down and upside_down != number


TRUTHS: dict[str, Callable[[Subject, QuizQuestion], list[bool]]] = {
    "both": both,
    "hotter": hotter,
    "sheet": sheet,
    "first": first,
    "hand": hand,
    "turn": turn,
}


def kinds(asked: Sequence[QuizQuestion]) -> set[str]:
    return {each.kind for each in asked}
