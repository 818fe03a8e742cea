"""The sentences of pick lists, purchases and bag labels."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

PICKS: dict[str, Sentence] = {
    "picks.title": N_("Pick list: {title}"),
    "picks.pull": N_("Pull"),
    "picks.short": N_("Short of stock, spares counted"),
    "picks.spares": N_("Spares, to be pulled as well"),
    "picks.buy": N_("Buy (the least price: {price})"),
    "picks.bought": N_("{count} × {pack}, {price}"),
    "picks.bought_one": N_("{count} × {pack}, {character}, {price}"),
    "picks.leftover": N_("Left over then"),
    "picks.bare": N_("In no pack: cut these, or order them by themselves"),
    "picks.twins": N_("Upside down one reads as the other: never one after the other"),
    "picks.twins_are": N_("{pairs}"),
    "picks.unsized": N_("Not counted"),
    "picks.unsized_are": Plural(
        N_("{count} garment whose size is not known"),
        N_("{count} garments whose size is not known"),
        "count",
    ),
    "picks.drawer": N_("{colour} {material}, {height}"),
    "picks.drawer_layer": N_("{colour} {material}, {height}, layer {layer} of {layers}"),
    "picks.labels": N_("Bag labels, in the order of work"),
    "picks.label.line": N_("line {line}"),
    "picks.label.letters": Plural(N_("{count} letter"), N_("{count} letters"), "count"),
    "picks.label.colours": N_("{colours}, {height}"),
    "picks.label.element": N_("{panel} {element}"),
    "picks.label.unsized": N_("the size is not known"),
    "picks.column.where": N_("Where"),
    "picks.column.material": N_("Colour and material"),
    "picks.column.height": N_("Height"),
    "picks.column.layer": N_("Layer"),
    "picks.column.pieces": N_("Pieces"),
    "picks.column.count": N_("In all"),
    "command.check.columns": N_("{file}: columns taken: {taken}"),
    "command.check.columns_left": N_("{file}: columns left out: {left}"),
    "command.check.taken": N_('"{header}" as {field}'),
    "command.check.twins": N_("{file}: upside down one reads as the other: {pairs}"),
    "command.plan.picks_written": N_("The pick list and the bag labels are in {path}"),
}
