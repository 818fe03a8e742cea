"""The quiz: its questions, options and reasons."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

_ASK: dict[str, Sentence] = {
    "quiz.ask.both": N_("Which setting serves all of it on {fabric}: {elements}?"),
    "quiz.ask.hotter": N_(
        "{title} may come off {peel} at {low} °{unit} ({source}). When at {high} °{unit}?"
    ),
    "quiz.ask.sheet_tack": N_(
        "Tack of layer {layer} ({elements}), {seconds} s: is the cover sheet on?"
    ),
    "quiz.ask.sheet_final": N_("Final press of {elements}, {seconds} s: is the cover sheet on?"),
    "quiz.ask.first": N_("On the {panel} of one garment: which of these comes first?"),
    "quiz.ask.hand_toward": N_(
        "The shirt gets {number}, its collar toward you. At which hand does the {figure} lie?"
    ),
    "quiz.ask.hand_away": N_(
        "The shirt gets {number}, its collar away from you. At which hand does the {figure} lie?"
    ),
    "quiz.ask.turn": N_("Which of these reads as another number upside down?"),
}

_OPTIONS: dict[str, Sentence] = {
    "quiz.plain": N_("{text}"),
    "quiz.setting": N_("{temperature} °{unit}, {seconds} s"),
    "quiz.peel.hot": N_("hot, at once"),
    "quiz.peel.warm": N_("warm"),
    "quiz.peel.cold": N_("cold"),
    "quiz.sheet_on": N_("sheet on"),
    "quiz.sheet_off": N_("no sheet"),
    "quiz.left": N_("left hand"),
    "quiz.right": N_("right hand"),
}

_WHY: dict[str, Sentence] = {
    "quiz.why.both": N_("Every piece and the cloth allow it: this is the plan's own setting."),
    "quiz.why.temperature_low": N_("{what}: at least {value} ({source})."),
    "quiz.why.temperature_high": N_("{what}: at most {value} ({source})."),
    "quiz.why.temperature_max": N_("{what}: at most {value} ({source})."),
    "quiz.why.temperature_max_margin": N_(
        "{what}: at most {value} ({source}), and the press may be hotter by its tolerance."
    ),
    "quiz.why.dye_cap": N_("{what}: its dye may move above {value} ({source})."),
    "quiz.why.dye_cap_margin": N_(
        "{what}: its dye may move above {value} ({source}), and the press may be hotter by its "
        "tolerance."
    ),
    "quiz.why.dwell_low": N_("{what}: longer there, {value} ({source})."),
    "quiz.why.dwell_high": N_("{what}: no more than {value} there ({source})."),
    "quiz.why.dwell_max": N_("{what}: no more than {value} in one closing ({source})."),
    "quiz.why.dwell_max_margin": N_(
        "{what}: no more than {value} in one closing ({source}), and the press may be hotter by "
        "its tolerance."
    ),
    "quiz.why.total_heat": N_("{what}: no more than {value} in all closings ({source})."),
    "quiz.why.peel": N_("The carriers have no peel in common there. {what}: {value} ({source})."),
    "quiz.why.hotter": N_(
        "At {temperature} °{unit} it may come off {allowed} ({source}). The earliest is taken."
    ),
    "quiz.why.sheet_on": N_("The material asks for a cover sheet: {titles}."),
    "quiz.why.sheet_off": N_(
        "No material under the platen asks for a cover sheet in the shop's files."
    ),
    "quiz.why.sheet_forbidden": N_("The material forbids a cover sheet: {titles}."),
    "quiz.why.sheet_short": N_(
        "{seconds} s: by this shop's policy so short a tack needs no cover sheet on bare film."
    ),
    "quiz.why.first": N_("This comes before it:"),
    "quiz.why.hand_turned": N_(
        "The collar is toward you, so the art is turned: the first figure of {number} lies at "
        "the right hand."
    ),
    "quiz.why.hand": N_(
        "The collar is away from you, so {number} is seen as it is read: first figure left."
    ),
    "quiz.why.turn": N_("{number} upside down reads {twin}: look for its foot bar."),
    "quiz.why.steady": N_("{number} upside down is no other number."),
}

QUIZ: dict[str, Sentence] = {**_ASK, **_OPTIONS, **_WHY}
