"""What the hands do next: moves of at most five words, and the lines below them."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

_BEFORE_A_CLOSING: dict[str, Sentence] = {
    # A liner comes off before laying, a carrier after heat: never one word for both.
    "move.quick.laid": N_("Is all of it laid?"),
    "move.quick.loaded": N_("Is it loaded flat?"),
    "move.quick.carriers": N_("Are the carriers off?"),
    "move.quick.peel": N_("Is it ready to peel?"),
    "move.quick.sheet": N_("Is the sheet on?"),
    "move.load": N_("Load the garment"),
    "move.load_sheet": N_("Load the garment, sheet on"),
    "move.load_lay": Plural(N_("Load, lay the piece"), N_("Load, lay the pieces"), "count"),
    "move.load_lay_sheet": N_("Load, lay, sheet on"),
    "move.load_lower": Plural(
        N_("Load, lay the lower piece"), N_("Load, lay the lower pieces"), "count"
    ),
    "move.load_lower_sheet": N_("Load, lower layer, sheet on"),
    # One part of a panel is pressed: the garment is moved on the platen for the next.
    "move.move": N_("Move the garment"),
    "move.move_sheet": N_("Move the garment, sheet on"),
    "move.move_lay": Plural(N_("Move it, lay the piece"), N_("Move it, lay the pieces"), "count"),
    "move.move_lay_sheet": N_("Move it, lay, sheet on"),
    "move.move_lower": Plural(
        N_("Move it, lay lower piece"), N_("Move it, lay lower pieces"), "count"
    ),
    "move.move_lower_sheet": N_("Move it, lower layer, sheet"),
    "move.lay": Plural(N_("Lay the piece"), N_("Lay the pieces"), "count"),
    "move.lay_sheet": Plural(
        N_("Lay the piece, sheet on"), N_("Lay the pieces, sheet on"), "count"
    ),
    "move.lower": Plural(N_("Lay the lower piece"), N_("Lay the lower pieces"), "count"),
    "move.lower_sheet": N_("Lay lower layer, sheet on"),
    "move.next": Plural(N_("Lay the next piece"), N_("Lay the next pieces"), "count"),
    "move.next_sheet": N_("Lay next layer, sheet on"),
    "move.top": Plural(N_("Lay the top piece"), N_("Lay the top pieces"), "count"),
    "move.top_sheet": N_("Lay top layer, sheet on"),
    "move.rest": Plural(N_("Lay the last piece"), N_("Lay the last pieces"), "count"),
    "move.rest_sheet": N_("Lay the rest, sheet on"),
    "move.sheet": N_("Lay the sheet on"),
    "move.carrier": Plural(N_("Take the carrier off"), N_("Take the carriers off"), "count"),
    "move.carrier_sheet": Plural(
        N_("Carrier off, sheet on"), N_("Carriers off, sheet on"), "count"
    ),
    "move.carrier_next": Plural(
        N_("Carrier off, lay next layer"), N_("Carriers off, lay next layer"), "count"
    ),
    "move.carrier_next_sheet": Plural(
        N_("Carrier off, next, sheet on"), N_("Carriers off, next, sheet on"), "count"
    ),
    "move.carrier_top": Plural(
        N_("Carrier off, lay the top"), N_("Carriers off, lay the top"), "count"
    ),
    "move.carrier_top_sheet": Plural(
        N_("Carrier off, top, sheet on"), N_("Carriers off, top, sheet on"), "count"
    ),
    "move.carrier_rest": Plural(
        N_("Carrier off, lay the rest"), N_("Carriers off, lay the rest"), "count"
    ),
    "move.carrier_rest_sheet": Plural(
        N_("Carrier off, rest, sheet on"), N_("Carriers off, rest, sheet on"), "count"
    ),
    "move.close": N_("Check it, then close"),
    # The garment before this one goes to the rack first: both are named.
    "move.rack_load": N_("Rack {racked}, load {number}"),
    "move.rack_load_sheet": N_("Rack {racked}, load {number}, sheet"),
    "move.rack_load_lay": N_("Rack {racked}, load, lay {number}"),
    "move.rack_load_lay_sheet": N_("Rack {racked}, lay {number}, sheet"),
    "move.peel_load": N_("Peel {racked} {peel}, load {number}"),
}

_AFTER_HEAT: dict[str, Sentence] = {
    "move.peel": N_("Peel it {peel}"),
    "move.peel_inspect": N_("Peel {peel}, look it over"),
    "move.peel_twice": N_("Peel {peel}, then {then}"),
    "move.peel_twice_inspect": N_("Peel {peel}, then {then}, look"),
    "move.peel_all": N_("Peel {peel}"),
    "move.peel_all_inspect": N_("Peel {peel}, look"),
    "move.wait_peel": N_("Wait, peel {peel}"),
    "move.inspect": N_("Look it over"),
    "move.sheet_off_inspect": N_("Sheet off, look it over"),
    "move.wait": N_("Wait for a garment"),
}

_OTHER: dict[str, Sentence] = {
    "move.pre_press": N_("PRE-PRESS"),
    "move.tack": N_("TACK"),
    "move.final": N_("FINAL PRESS"),
    "move.over": N_("OPEN NOW"),
    "move.unasked": N_("OPEN: closed unasked"),
    "move.ask_closed": N_("Was it closed?"),
    "move.late_hot": N_("How did it peel?"),
    "move.open_first": N_("OPEN THE PRESS first"),
    "move.held": N_("On hold"),
    "move.setting": N_("Set the press"),
    "move.verify": N_("Check the press"),
    "move.trial": N_("Try the setting first"),
    "move.lot": N_("The lot is held"),
    "move.done": N_("All of it is pressed"),
    "move.done_left": N_("These wait for a person"),
    "move.no_job": N_("No job at the press"),
}

RUN_MOVES: dict[str, Sentence] = {**_BEFORE_A_CLOSING, **_AFTER_HEAT, **_OTHER}
