"""Lines of a move in fewer words, for a screen where the full ones would be too small to read."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

BRIEF = ".brief"  # what follows the id of the full line

RUN_BRIEF: dict[str, Sentence] = {
    "line.load.seams.brief": N_("seams, zips, buttons off"),
    "line.load.seams_flat.brief": N_("seams, zips off; no lint"),
    "line.lay.two.brief": N_("{colour}: {first}, {second}"),
    "line.lay.two_colours.brief": N_("{colour} {first}, {other} {second}"),
    "line.top.two.brief": N_("{colour}: {first}, {second}"),
    "line.top.two_colours.brief": N_("{colour} {first}, {other} {second}"),
    "line.liner.brief": N_("liner off, edges even"),
    "line.border.brief": N_("border even all round?"),
    "line.last_moment.brief": N_("liner off, last moment"),
    "line.sheet.brief": N_("sheet over all, no crease"),
    "line.racked.brief": N_("{racked} racked, carrier on"),
    "line.inspect.match.brief": N_("{panel}: number, name, size"),
    "line.inspect.digits.brief": N_("digits in order, upright"),
    "line.inspect.digits_on_top.brief": N_("in order, {colour} on top, even"),
    "line.inspect.digits_layers.brief": N_("digits, layers, borders right"),
    "line.inspect.pieces_on_top.brief": N_("straight, {colour} on top, even"),
    "line.inspect.pieces_layers.brief": N_("straight, layers in order"),
    "line.inspect.whole.brief": N_("edges down, bare, no marks"),
    "line.own_release.brief": N_("as its maker says"),
    "line.unasked.brief": N_("nothing was to be pressed"),
    "line.unasked.logged.brief": N_("logged as unasked heat"),
    "line.ask_closed.yes.brief": N_("closed: it counts as it was"),
    "line.ask_closed.no.brief": N_("not closed: no heat counts"),
    "ask.line.setting.brief": N_("Let it settle."),
    "ask.line.number.brief": N_("Read the pieces in hand, enter it."),
    "ask.line.on_shirt.brief": N_("Read the shirt, enter it."),
    "ask.foot.setting_cold.brief": N_(
        "Showed {last} °{unit}, too cold. Wait, read again. Still cold: call the supervisor."
    ),
    "ask.foot.setting_hot.brief": N_(
        "Showed {last} °{unit}, too hot. Wait, read again. Still hot: call the supervisor."
    ),
    "ask.foot.number.brief": N_("No heat until they agree."),
    "ask.foot.again.brief": N_("The ticket says {right}."),
    "line.inspect.bare.brief": N_("edges down, no marks"),
}
