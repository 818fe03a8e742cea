"""The sentences of the heat room: advice and where a peel's time comes from."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

HEAT: dict[str, Sentence] = {
    "heat.peel.sheet": N_("The material's own sheet: {from} to {to} s after opening"),
    "heat.peel.estimate": N_("Estimated, give or take {percent} %"),
    "heat.peel.never": N_("It does not get there in the time looked ahead"),
    "heat.peel.never.pad": N_("It does not get there on the pad: lift it off"),
    "heat.taken": N_(
        "Heat (estimated): the cloth is above {above} °{unit} for {seconds} s, at most at "
        "{highest} °{unit}; as much as {equivalent} s at {reference} °{unit}"
    ),
    "heat.left": N_("Left of what they may take in all: {parts}"),
    "heat.left.fabric": N_("fabric {seconds} s"),
    "heat.left.one": N_("{element} {seconds} s"),
    "heat.left.layer": N_("{element} layer {layer} {seconds} s"),
    "heat.tack.bare": N_(
        "The tack of {seconds} s brings the bond to about {bond} °{unit} (estimated)"
    ),
    "heat.tack.with_sheet": N_(
        "The tack of {seconds} s under the sheet brings the bond to about {bond} °{unit} "
        "(estimated)"
    ),
    "heat.tack.sheet": N_(
        "Under the sheet this tack brings the bond to {bond} °{unit}, bare to {bare} °{unit}; "
        "{more} s more would level it"
    ),
    "heat.tack.sheet.no_longer": N_(
        "Under the sheet this tack brings the bond to {bond} °{unit}, bare to {bare} °{unit}; "
        "its sheet allows no longer tack"
    ),
    "heat.pad.cold": N_(
        "The pad is cold: the bond stays {cooler} °{unit} cooler. "
        "Close the empty press for {from} to {to} s first"
    ),
    "heat.zone.too_soon": N_("too soon"),
    "heat.zone.now": N_("peel now"),
    "heat.zone.closing": N_("window closing"),
    "heat.zone.late": N_("late"),
}
