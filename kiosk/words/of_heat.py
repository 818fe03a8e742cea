"""The sentences of the heat room: advice and where a peel's time comes from."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

HEAT: dict[str, Sentence] = {
    "heat.peel.estimate": N_("Estimated, give or take {percent} %"),
    "heat.peel.never": N_("It does not get there in the time looked ahead"),
    "heat.peel.never.pad": N_("It does not get there on the pad: lift it off"),
    "heat.taken": N_(
        "Heat (estimated): the cloth is above {above} °{unit} for {seconds_low} to {seconds_high} "
        "s, {highest_low} °{unit} to {highest_high} °{unit} at the hottest; as much as "
        "{equivalent_low} to {equivalent_high} s at {reference} °{unit}, with an activation "
        "energy assumed at {energy_low} to {energy_high} kJ/mol"
    ),
    "heat.left": N_("Left of each heat limit in all: {parts}"),
    "heat.left.fabric": N_("fabric {seconds} s"),
    "heat.left.one": N_("{element} {seconds} s"),
    "heat.left.layer": N_("{element} layer {layer} {seconds} s"),
    "heat.tack.bare": N_(
        "Estimated: the tack of {seconds} s brings the bond to {bond_low} °{unit} to "
        "{bond_high} °{unit}"
    ),
    "heat.tack.with_sheet": N_(
        "Estimated: the tack of {seconds} s under the cover sheet brings the bond to {bond_low} "
        "°{unit} to {bond_high} °{unit}"
    ),
    "heat.tack.sheet": N_(
        "Estimated: under the cover sheet this tack brings the bond to {bond_low} °{unit} to "
        "{bond_high} °{unit}, bare to {bare_low} °{unit} to {bare_high} °{unit}; {more_low} to "
        "{more_high} s more would level it"
    ),
    "heat.tack.sheet.no_longer": N_(
        "Estimated: under the cover sheet this tack brings the bond to {bond_low} °{unit} to "
        "{bond_high} °{unit}, bare to {bare_low} °{unit} to {bare_high} °{unit}; its limit "
        "allows no longer tack"
    ),
    "heat.pad.cold": N_(
        "The pad is cold: the bond stays {low} to {high} {step} cooler (estimated). "
        "Close the empty press for {from} to {to} s first"
    ),
    "heat.pad.first": N_(
        "First garment of a day, the pad cold: the bond stays {low} to {high} {step} cooler "
        "(estimated). "
        "Close the empty press for {from} to {to} s first"
    ),
    "curve.bond": N_("the bond"),
    "curve.cloth": N_("the cloth's upper face"),
    "curve.now": N_("peel now ({source})"),
    "curve.guess": N_("guess: {low} to {high} s after opening"),
    "curve.ready": N_("ready {low} to {high} s after opening"),
    "curve.late": N_("late {low} to {high} s after opening"),
    "curve.seconds": N_("seconds from loading"),
    "curve.after": N_("s after opening"),
    "curve.level.hot": N_("hot down to {degrees} °{unit}"),
    "curve.level.warm_from": N_("warm from {degrees} °{unit}"),
    "curve.level.warm_to": N_("warm down to {degrees} °{unit}"),
    "curve.level.cold": N_("cold at {degrees} °{unit}"),
    "curve.phase.load": N_("load"),
    "curve.phase.pre-press": N_("pre-press"),
    "curve.phase.lay layer": N_("lay"),
    "curve.phase.tack": N_("tack"),
    "curve.phase.remove carrier": N_("carrier off"),
    "curve.phase.lay top layer": N_("lay top"),
    "curve.phase.cover sheet": N_("cover sheet"),
    "curve.phase.final press": N_("final press"),
    "curve.phase.cool": N_("cooling"),
    "curve.none": N_("No model fits what is pressed here: there is nothing to draw."),
    "curve.caption": N_(
        "Estimated temperatures of one garment in the middle of a shift; the press is closed "
        "where it is shaded."
    ),
    "curve.estimates": N_("What is estimated"),
    "curve.basis.told": N_("Peel {peel}: {start} to {end} s after opening, {source}"),
    "curve.basis.ready": N_("Peel {peel}: ready {low} to {high} s after opening, {source}"),
    "curve.basis.both": N_(
        "Peel {peel}: ready {low} to {high} s after opening, late from {late_low} to "
        "{late_high} s, {source}"
    ),
    "curve.basis.closing": N_(
        "Peel {peel}: at once; its time is over {late_low} to {late_high} s after opening, {source}"
    ),
    "curve.limits": N_(
        "Calculated, not measured: 15 to 20 % off for a garment lying flat, 25 to 30 % on the pad, "
        "5 °C at the bond. Water in cotton, seams, edges and draughts are left out. It tells a "
        "temperature, not whether it holds."
    ),
    "curve.assumed": N_(
        "Weights and conductivities are assumed unless the shop wrote its own. The material's own "
        "sheet comes first."
    ),
    "heat.zone.too_soon": N_("too soon"),
    "heat.zone.now": N_("peel now"),
    "heat.zone.closing": N_("window closing"),
    "heat.zone.late": N_("late"),
}
