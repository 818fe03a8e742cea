"""What can be done beside going on: the page of choices, closings told afterwards, the platen."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

CHOICES: dict[str, Sentence] = {
    "choices.title": N_("Short press steps, long press chooses"),
    "choices.put_right": N_("Put a closing right"),
    "choices.go_on": N_("Go on"),
    "choices.result": N_("{number}: {result}"),
    "choices.never_closed": N_("{number} was never closed"),
    "choices.pressed": N_("{number} is pressed already: no tap"),
    "choices.back": N_("Back one: {number}"),
    "choices.tap.confirmed": N_("step not done"),
    "choices.tap.finished": N_("no result yet"),
    "choices.tap.peeled": N_("not peeled yet"),
    "choices.tap.stage_peeled": N_("not peeled yet"),
    "choices.tap.went_on": N_("not looked over yet"),
    "choices.tap.set_aside": N_("not put aside"),
    "choices.tap.skipped": N_("pre-press not left out"),
    "choices.was_it_closed": N_("Number {number}: was the press closed?"),
    "choices.was_it_closed_line": N_(
        "Never closed: no heat counts, and the garment is where it was. Both stay in the record."
    ),
    "choices.it_was_closed": N_("It was closed"),
    "choices.told": N_("{number}: pressed how many seconds?"),
    "choices.told_line": N_("Recorded as told by hand."),
    "choices.told_main": N_("Pressed so long"),
    "clear.title": N_("Clear the platen first"),
    "clear.leaving": N_("Number {number}: flat on the rack, carrier on."),
    "clear.loaded": N_("Number {number}: loaded. Take it off, its loose pieces with it."),
    "clear.pre_pressed": N_("Number {number}: pre-pressed. Take it off, its loose pieces with it."),
    "clear.tacked": N_("Number {number}: tacked. Take it off flat; what is tacked stays on."),
    "clear.pressed": N_("Number {number}: pressed, no result yet. Take it off flat as it is."),
    "clear.unknown": N_("Number {number}: outcome unknown. Take it off flat as it is."),
    "clear.main": N_("The platen is clear"),
}
