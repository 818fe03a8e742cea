"""Why each step is there, in one sentence for a trainee, from the plan's own numbers."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.group import Group
from kiosk.plan.model import Closing


def why_pre_press(group: Group) -> Message:
    """Return why the bare cloth is pressed first."""
    return say("plan.why.pre_press", fabric=group.fabric.title, seconds=group.pre_press_seconds)


def why_lay_layer(group: Group, pieces: tuple[str, ...], layer: int) -> Message:
    """Return why this layer of the stacks is laid now."""
    if layer > 1:
        return say("plan.why.lay_top", layer=layer)
    most = max(len(e.layers) for e in group.panel.elements if e.pieces()[0] in pieces)
    return say("plan.why.lay_under", layers=most)


def why_lay_single(group: Group) -> Message:
    """Return why the one-layer pieces are laid now."""
    if group.tacks:
        return say("plan.why.lay_single_last")
    if any(c.group != group.number for c in group.settings.closings):
        return say("plan.why.lay_of_group")
    return say("plan.why.lay_single")


def why_tack(closing: Closing, layer: int) -> Message:
    """Return why there is a tack, and why it goes with or without the sheet."""
    seconds = closing.dwell_seconds
    if closing.cover_sheet:
        return say("plan.why.tack_sheet", seconds=seconds)
    return say("plan.why.tack_bare" if layer > 1 else "plan.why.tack", seconds=seconds)


def why_final(group: Group) -> Message:
    """Return why the final press has this temperature."""
    final, unit = group.final, group.settings.unit
    shown = f"{final.temperature} °{unit.value}"
    if _keeps_setting(group):
        return say("plan.why.final_keep", temperature=shown)
    normals = {group.material(p).temperature.normal.whole_in(unit) for p in final.pieces}
    id_ = "plan.why.final_normal" if final.temperature == max(normals) else "plan.why.final_nearest"
    return say(id_, temperature=shown)


def why_peel(group: Group, peel: Peel, staged: bool) -> Message:
    """Return why the carriers come off hot, warm or cold."""
    word = say(f"peel.{peel.word}")
    if staged:
        return say("plan.why.peel_staged", peel=word)
    shown = f"{group.final.temperature} °{group.settings.unit.value}"
    return say("plan.why.peel", peel=word, temperature=shown)


def element_word(element: str) -> str | Message:
    """Return an element as a word to look up, or as the recipe writes it."""
    return say(f"element.{element}") if element in ("name", "number") else element


def element_words(pieces: tuple[str, ...]) -> tuple[str | Message, ...]:
    """Return the elements of `pieces`, each once, as words."""
    elements = dict.fromkeys(piece.rpartition(".")[0] for piece in pieces)
    return tuple(map(element_word, elements))


def _keeps_setting(group: Group) -> bool:
    """Whether the press stands at this temperature already."""
    if group.number == 0:
        return group.settings.setting_change == 0
    before = [c for c in group.settings.closings if c.group == group.number - 1]
    return before[-1].temperature == group.final.temperature
