"""The work screen's own words: what it adds to a view."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

WORK: dict[str, Sentence] = {
    "work.garment": N_("garment {nth} of {count}"),
    "work.back": N_("back one"),
    "work.hold": N_("hold"),
    "work.opened": N_("opened"),
    "work.cancel": N_("cancel"),
    "work.s": N_("s"),
    "work.seconds": N_("{seconds} s"),
    "work.since_tone": N_("since the tone"),
    "work.as_worn": N_("as worn"),
    "work.even": N_("even"),
    "work.move_it": N_("move it"),
    "work.left_hand": N_("LEFT HAND"),
    "work.right_hand": N_("RIGHT HAND"),
    "work.collar_toward": N_("collar toward you: seam {distance} off this edge"),
    "work.collar_away": N_("collar away from you: seam {distance} off this edge"),
    "work.inches": N_("1 in"),
    "work.millimetres": N_("25 mm"),
    "work.good": N_("Good"),
    "work.good_line": N_("peeled, nothing to mend"),
    "work.how_is_it": N_("Number {number}: how is it?"),
    "work.rework": N_("Rework"),
    "work.rework_line": N_("something can be mended"),
    "work.scrap": N_("Scrap"),
    "work.scrap_line": N_("make it again"),
    "work.accept": N_("Accept"),
    "work.accept_line": N_("within the grade"),
    "work.what_is_wrong": N_("Number {number}: what is wrong?"),
    "work.why": N_("Number {number}: why?"),
    "work.touch_class": N_("Touch what is wrong"),
    "work.touch_cause": N_("Touch the likeliest cause"),
    "work.leave_it": N_("or cancel at the left"),
    "work.clear": N_("clear"),
    "work.enter": N_("enter"),
    "work.practice": N_("PRACTICE"),
    "work.sound_off": N_("sound off"),
}
