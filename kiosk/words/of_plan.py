"""The sentences of the plan room."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence
from kiosk.words.of_place import PLACE
from kiosk.words.of_settings import SETTINGS

_WHY: dict[str, Sentence] = {
    "plan.why.load": N_(
        "Only what lies flat is pressed evenly: a seam, zip or button lifts the platen off the film"
    ),
    "plan.why.load_part": N_(
        "The platen is too short for the whole panel: it is pressed in {count} parts, moved between"
    ),
    "plan.why.pre_press": N_(
        "{seconds} s on the bare cloth ({fabric}) drive out damp and press out creases"
    ),
    "plan.why.lay_under": N_("The lowest of {layers} layers goes on the cloth first"),
    "plan.why.lay_top": N_(
        "Layer {layer} goes on film without a carrier; its border can still be moved now"
    ),
    "plan.why.lay_single": N_("One closing bonds all that is laid now"),
    "plan.why.lay_single_last": N_(
        "One-layer pieces are laid after the last tack: they need the final press only"
    ),
    "plan.why.lay_of_group": N_(
        "These pieces share a closing; the others of this panel need one of their own"
    ),
    "plan.why.tack": N_("{seconds} s only hold the layer in place; the bond comes with the final"),
    "plan.why.tack_bare": N_(
        "{seconds} s only hold the layer in place; by this shop's policy so short a tack needs no "
        "cover sheet on bare film"
    ),
    "plan.why.tack_sheet": N_(
        "{seconds} s only hold the layer in place; the sheet keeps bare film off the platen"
    ),
    "plan.why.carrier": N_(
        "The next layer bonds to film, not to a carrier; this one comes off {peel}"
    ),
    "plan.why.cover": N_("The material asks for a cover sheet on: {elements}"),
    "plan.why.final_keep": N_(
        "The press stays at {temperature}: every piece and the cloth allow it"
    ),
    "plan.why.final_normal": N_("{temperature} is the highest normal setting of these pieces"),
    "plan.why.final_nearest": N_(
        "{temperature} is the setting nearest to normal that every piece and the cloth allow"
    ),
    "plan.why.peel": N_(
        "{peel} is the earliest peel that all these carriers allow at {temperature}"
    ),
    "plan.why.peel_staged": N_(
        "The carriers allow no peel in common, so each comes off at its own: this one {peel}"
    ),
    "plan.why.inspect": N_("A slip found here is still in the shop; most of them cannot be undone"),
}

_STEPS: dict[str, Sentence] = {
    "plan.step.load_toward": N_(
        "Load the {panel}, collar toward you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_away": N_(
        "Load the {panel}, collar away from you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_toward_waistband": N_(
        "Load the {panel}, waistband toward you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_away_waistband": N_(
        "Load the {panel}, waistband away from you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_toward_sleeve": N_(
        "Load the {panel}, cuff hem away from you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_away_sleeve": N_(
        "Load the {panel}, cuff hem toward you: seams, zips and buttons off the platen, "
        "threaded or flat, lint off"
    ),
    "plan.step.load_part": N_(
        "Load the {panel} for {elements}, the seam {rulers}: seams, zips and buttons off the "
        "platen, threaded or flat, lint off"
    ),
    "plan.step.load_part_toward": N_(
        "Load the {panel} for {elements}, collar toward you, its seam {rulers}: seams, zips and "
        "buttons off the platen, threaded or flat, lint off"
    ),
    "plan.step.load_part_away": N_(
        "Load the {panel} for {elements}, collar away from you, its seam {rulers}: seams, zips "
        "and buttons off the platen, threaded or flat, lint off"
    ),
    "plan.step.pre_press": N_("Close for {seconds} s at {temperature} with nothing laid"),
    "plan.step.lay": N_("Liner off, then lay: {elements}"),
    "plan.step.lay_colour": N_("Liner off, then lay in {colours}: {elements}"),
    "plan.step.lay_colours": N_("Liner off, then lay: {elements} (in this order {colours})"),
    "plan.step.lay_top": N_("Liner off, then lay on top, border even: {elements}"),
    "plan.step.lay_top_colour": N_(
        "Liner off, then lay on top in {colours}, border even: {elements}"
    ),
    "plan.step.lay_top_colours": N_(
        "Liner off, then lay on top, border even: {elements} (in this order {colours})"
    ),
    "plan.step.tack": N_("Tack {seconds} s at {temperature}, pressure {low}, {sheet}"),
    "plan.step.tack_range": N_(
        "Tack {seconds} s at {temperature}, pressure {low} to {high}, {sheet}"
    ),
    "plan.step.carrier": N_("Take the carriers off {peel}: {elements}"),
    "plan.step.cover": N_("Lay the cover sheet over everything"),
    "plan.step.final": N_("Final press {seconds} s at {temperature}, pressure {low}, {sheet}"),
    "plan.step.final_range": N_(
        "Final press {seconds} s at {temperature}, pressure {low} to {high}, {sheet}"
    ),
    "plan.step.peel": N_("Peel {peel}: {elements}"),
    "plan.step.peel_hand": N_(
        "Keep it in hand, flat, off the platen; peel {peel} {start} to {end} s after opening "
        "({source}): {elements}"
    ),
    "plan.step.peel_rack": N_(
        "Lay it flat on the rack; peel {peel} {start} to {end} s after opening "
        "({source}): {elements}"
    ),
    "plan.step.peel_hand_about": N_(
        "Keep it in hand, flat, off the platen; peel {peel} about {start} to {end} s after "
        "opening, ready between {low} and {high} s ({source}): {elements}"
    ),
    "plan.step.peel_rack_about": N_(
        "Lay it flat on the rack; peel {peel} about {start} to {end} s after opening, "
        "ready between {low} and {high} s ({source}): {elements}"
    ),
    "plan.step.peel_hand_from": N_(
        "Keep it in hand, flat, off the platen; peel {peel} from about {start} s after "
        "opening, ready between {low} and {high} s ({source}): {elements}"
    ),
    "plan.step.peel_rack_from": N_(
        "Lay it flat on the rack; peel {peel} from about {start} s after opening, "
        "ready between {low} and {high} s ({source}): {elements}"
    ),
    "plan.step.inspect": N_("Look it over: number, name, size, edges, marks"),
    "plan.pass": N_("{panel}"),
    "plan.pass_group": N_("{panel}, closing group {group}"),
    "plan.pass_part": N_("{panel}, closing group {group}, part {nth} of {of}"),
    "plan.wait.estimate": N_("estimated from the heat in the stack"),
    "plan.wait.estimate_beside": N_(
        "estimated from the heat in the stack; a guess says {start} to {end} s"
    ),
    "plan.wait.guess": N_("guess"),
    "plan.wait.guess_beside": N_("guess; estimated ready between {low} and {high} s"),
    "plan.wait.practice": N_("guess from common practice: nobody wrote it down"),
}

_WORDS: dict[str, Sentence] = {
    "phase.load": N_("load"),
    "phase.pre-press": N_("pre-press"),
    "phase.lay layer": N_("lay layer"),
    "phase.tack": N_("tack"),
    "phase.remove carrier": N_("remove carrier"),
    "phase.lay top layer": N_("lay top layer"),
    "phase.cover sheet": N_("cover sheet"),
    "phase.final press": N_("final press"),
    "phase.peel": N_("peel"),
    "phase.inspect": N_("inspect"),
    "peel.hot": N_("hot"),
    "peel.warm": N_("warm"),
    "peel.cold": N_("cold"),
    "pressure.light": N_("light"),
    "pressure.light-medium": N_("light-medium"),
    "pressure.medium": N_("medium"),
    "pressure.medium-firm": N_("medium-firm"),
    "pressure.firm": N_("firm"),
    "sheet.on": N_("sheet on"),
    "sheet.off": N_("no sheet"),
    "element.name": N_("name"),
    "element.number": N_("number"),
    "panel.back": N_("back"),
    "panel.front": N_("front"),
    "panel.left-sleeve": N_("left sleeve"),
    "panel.right-sleeve": N_("right sleeve"),
    "panel.left-chest": N_("left chest"),
    "panel.right-chest": N_("right chest"),
    "panel.sleeve": N_("sleeve"),
    "panel.shorts": N_("shorts"),
}

PLAN: dict[str, Sentence] = {**SETTINGS, **_WHY, **_STEPS, **_WORDS, **PLACE}
