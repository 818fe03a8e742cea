"""The sentence of each step on paper, and the reason for it, with the plan's own numbers."""

from collections.abc import Iterable

from kiosk.catalog.base import Inches, Message, Pressure, Value, say
from kiosk.catalog.model import Peel, SheetRule
from kiosk.plan.group import ClosingGroup, elements_of
from kiosk.plan.heat.waits import is_guessed, wait_words
from kiosk.plan.model import (
    FREEING,
    HOT_PHASES,
    LAYING,
    Closing,
    Pass,
    PeelPlace,
    Phase,
    Plan,
    Step,
)
from kiosk.plan.sizes import ROOMS, end_of
from kiosk.plan.time.handling import stage_of


def phrase(plan: Plan, each: Pass, step: Step) -> Message:
    """Return the sentence of a step of pass `each` of `plan`."""
    if step.phase in HOT_PHASES:
        return _closing(plan, step)
    if step.phase is Phase.LOAD:
        return _load(plan, each)
    if step.phase in LAYING:
        return _lay(plan, each, step)
    if step.phase in FREEING and (late := _late_peel(each, step)) is not None:
        return late
    if step.phase in FREEING:
        word = "peel" if step.phase is Phase.PEEL else "carrier"
        return say(f"plan.step.{word}", peel=_peel(step), elements=element_words(step.pieces))
    return say("plan.step.cover" if step.phase is Phase.COVER else "plan.step.inspect")


def load_side(plan: Plan, panel: str) -> str:
    """Return how a panel lies to the operator: `toward`, `away`, `toward_waistband`, ...

    It is the seam end that lies so: collar, waistband or sleeve seam. The words for a sleeve name
    its other end, the cuff hem.
    """
    seam = end_of(panel)
    end = "" if seam == "collar" else f"_{seam}"
    return ("toward" if plan.collar_toward_operator else "away") + end


def ruler(inches: float) -> Message:
    """Return where the seam lies on the ruler; a negative value is beyond the platen's edge."""
    id_ = "place.ruler_on" if inches >= 0 else "place.ruler_over"
    return say(id_, length=Inches(abs(inches)))


def _load(plan: Plan, each: Pass) -> Message:
    """Which way round the panel lies and, if it is loaded in parts, where the seam lies."""
    side, panel = load_side(plan, each.panel), panel_word(each.panel)
    if each.part is None:
        return say(f"plan.step.load_{side}", panel=panel)
    seams = each.part.seam_rulers.items()
    rulers: Value = tuple(say(f"place.ruler_of.{own}", ruler=ruler(seam)) for own, seam in seams)
    if len(alike := {seam for _, seam in seams}) == 1:
        rulers = tuple(map(ruler, alike))
    pieces = tuple(f"{element}.1" for element in each.part.elements)
    plain = side in ("toward", "away")
    load = f"plan.step.load_part_{side}" if plain else "plan.step.load_part"
    return say(load, panel=panel, elements=element_words(pieces), rulers=rulers)


def change_lines(changed: Iterable[Message]) -> tuple[Message, ...]:
    """Return readable lines of `changed_from_normal`; pieces changed alike share a line."""
    alike: dict[tuple[str, tuple[tuple[str, Value], ...]], list[Message]] = {}
    for each in changed:
        rest = tuple((name, value) for name, value in each.values.items() if name != "piece")
        kind = each.id.removeprefix("settings.changed_")
        pieces = alike.setdefault((kind, rest), [])
        if "piece" in each.values:
            pieces.append(piece_words(str(each.values["piece"])))
    return tuple(
        Message(f"settings.told_{kind}", {"piece": tuple(pieces), **dict(rest)}, kind)
        for (kind, rest), pieces in alike.items()
    )


def piece_words(piece: str) -> Message:
    """Return a piece in words: its element and its layer."""
    layer = int(piece.rpartition(".")[2])
    return say("settings.piece", element=element_words((piece,)), layer=layer)


def panel_word(panel: str) -> str | Message:
    """Return the panel's word, or its name in the recipe if it is not a known panel."""
    return say(f"panel.{panel}") if panel in ROOMS else panel


def pressure_words(low: Pressure, high: Pressure) -> Message:
    """Return a pressure range in words: a single word if both ends are the same."""
    ends = say(f"pressure.{low.word}"), say(f"pressure.{high.word}")
    return ends[0] if low == high else say("pressure.range", low=ends[0], high=ends[1])


def pass_words(plan: Plan, each: Pass) -> Message:
    """Return the name of a pass: its panel, plus what it lays if the panel has several passes."""
    panel = panel_word(each.panel)
    if sum(other.panel == each.panel for other in plan.passes) < 2:
        return say("plan.pass", panel=panel)
    laid = tuple(piece for step in each.steps if step.phase in LAYING for piece in step.pieces)
    return say("plan.pass_of", panel=panel, elements=element_words(laid))


def _closing(plan: Plan, step: Step) -> Message:
    low, high = step.pressure_low, step.pressure_high
    values: dict[str, Value] = {
        "seconds": step.seconds,
        "temperature": f"{step.temperature} °{plan.unit.value}",
        "sheet": say("sheet.on" if step.sheet else "sheet.off"),
        "low": None if low is None else say(f"pressure.{low.word}"),
        "high": None if high is None else say(f"pressure.{high.word}"),
    }
    if step.phase is Phase.PRE_PRESS:
        return Message("plan.step.pre_press", values)
    word = "tack" if step.phase is Phase.TACK else "final"
    return Message(f"plan.step.{word}" if low is high else f"plan.step.{word}_range", values)


def _lay(plan: Plan, each: Pass, step: Step) -> Message:
    pieces = {p.name: p for p in plan.pieces if p.panel == each.panel}
    elements = element_words(step.pieces)
    colours = tuple(pieces[name].colour for name in step.pieces)
    top = "lay_top" if step.phase is Phase.LAY_TOP else "lay"
    if not any(colours):
        return say(f"plan.step.{top}", elements=elements)
    if len(set(colours)) == 1:
        return say(f"plan.step.{top}_colour", elements=elements, colours=colours[0])
    coloured: tuple[Value, ...] = tuple(
        say("plan.step.piece_colour", element=element, colour=colour) if colour else element
        for element, colour in zip(elements, colours, strict=True)
    )
    return say(f"plan.step.{top}", elements=coloured)


def _late_peel(each: Pass, step: Step) -> Message | None:
    """When and where to peel after a wait, as a range if estimated; None for a peel at once."""
    wait, place = stage_of(each, step)
    carrier = step.phase is Phase.REMOVE_CARRIER
    if wait is None or (place is PeelPlace.PRESS and not carrier):
        return None
    id_ = f"plan.step.{'carrier' if carrier else 'peel'}_{place.value}"
    values: dict[str, Value] = {
        "peel": _peel(step),
        "elements": element_words(step.pieces),
        "start": round(wait.from_seconds),
        "end": round(wait.to_seconds),
        "source": wait_words(wait),
    }
    if wait.ready is not None and not is_guessed(wait):
        id_ += "_about" if wait.late is not None else "_from"
        values |= {"low": round(wait.ready.low), "high": round(wait.ready.high)}
    return Message(id_, values)


def _peel(step: Step) -> Value:
    return "" if step.peel is None else say(f"peel.{step.peel.word}")


def why_pre_press(group: ClosingGroup) -> Message:
    """Return why the bare cloth is pressed first."""
    return say("plan.why.pre_press", fabric=group.fabric.title, seconds=group.pre_press_seconds)


def why_lay_layer(group: ClosingGroup, pieces: tuple[str, ...], layer: int) -> Message:
    """Return why this layer of the stacks is laid at this point."""
    if layer > 1:
        return say("plan.why.lay_top", layer=layer)
    most = max(len(e.layers) for e in group.panel.elements if e.pieces()[0] in pieces)
    return say("plan.why.lay_under", layers=most)


def why_lay_single(group: ClosingGroup) -> Message:
    """Return why the one-layer pieces are laid at this point."""
    if group.tacks:
        return say("plan.why.lay_single_last")
    if any(c.group != group.number for c in group.settings.closings):
        return say("plan.why.lay_of_group")
    return say("plan.why.lay_single")


def why_cover(pieces: tuple[str, ...]) -> Message:
    """Return why the cover sheet goes on: these pieces require it."""
    return say("plan.why.cover", elements=element_words(pieces))


def pieces_needing_sheet(group: ClosingGroup, closing: Closing) -> tuple[str, ...]:
    """Return the pieces under the platen whose exposed face requires a cover sheet."""
    return tuple(
        piece
        for piece in group.in_order(closing.heated)
        if group.material(piece).sheet_rule(piece in closing.peel) is SheetRule.REQUIRED
    )


def why_tack(group: ClosingGroup, closing: Closing) -> Message:
    """Return why there is a tack, and why it has the cover sheet on or off."""
    needing = pieces_needing_sheet(group, closing)
    bare = any(piece not in closing.peel for piece in needing)
    if closing.cover_sheet and not bare:
        return why_cover(needing)
    id_ = "tack_sheet" if closing.cover_sheet else "tack_bare" if bare else "tack"
    return say(f"plan.why.{id_}", seconds=closing.dwell_seconds)


def why_carrier(group: ClosingGroup, pieces: tuple[str, ...], peel: Peel) -> Message:
    """Return why the carriers of a tack come off: for the next layer, or as the last ones."""
    tops = {element.pieces()[-1] for element in group.panel.elements}
    id_ = "plan.why.carrier_last" if tops.issuperset(pieces) else "plan.why.carrier"
    return say(id_, peel=say(f"peel.{peel.word}"))


def why_final(group: ClosingGroup) -> Message:
    """Return why the final press has this temperature."""
    final, unit = group.final, group.settings.unit
    temperature = f"{final.temperature} °{unit.value}"
    if _keeps_setting(group):
        return say("plan.why.final_keep", temperature=temperature)
    normals = {group.material(p).temperature.normal.whole_in(unit) for p in final.pieces}
    id_ = "plan.why.final_normal" if final.temperature == max(normals) else "plan.why.final_nearest"
    return say(id_, temperature=temperature)


def why_peel(group: ClosingGroup, peel: Peel, staged: bool) -> Message:
    """Return why the carriers come off hot, warm or cold."""
    word = say(f"peel.{peel.word}")
    if staged:
        return say("plan.why.peel_staged", peel=word)
    temperature = f"{group.final.temperature} °{group.settings.unit.value}"
    return say("plan.why.peel", peel=word, temperature=temperature)


ELEMENTS = {element: say(f"element.{element}") for element in ("name", "number")}


def element_word(element: str) -> str | Message:
    """Return an element as a message, or its name in the recipe if it has no word."""
    return ELEMENTS.get(element, element)


def element_words(pieces: tuple[str, ...]) -> tuple[str | Message, ...]:
    """Return the elements of `pieces`, each once, as words."""
    return tuple(map(element_word, elements_of(pieces)))


def _keeps_setting(group: ClosingGroup) -> bool:
    """Whether the press is already set to this temperature."""
    if group.number == 0:
        return group.settings.setting_change == 0
    before = [c for c in group.settings.closings if c.group == group.number - 1]
    return before[-1].temperature == group.final.temperature
