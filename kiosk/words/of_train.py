"""The sentences of practice, quiz and sign-off."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence
from kiosk.words.of_quiz import QUIZ

_STEPS: dict[str, Sentence] = {
    "practice.step.load": N_("load it flat"),
    "practice.step.pre_press": N_("pre-press"),
    "practice.step.lay": N_("lay the pieces"),
    "practice.step.lay_layer": N_("lay layer {layer}"),
    "practice.step.lay_single": N_("lay the one-layer pieces"),
    "practice.step.tack": N_("tack layer {layer}"),
    "practice.step.carrier": N_("carriers of layer {layer} off {peel}"),
    "practice.step.cover": N_("cover sheet on"),
    "practice.step.final": N_("final press"),
    "practice.step.peel": N_("peel {peel}"),
    "practice.step.inspect": N_("look it over"),
}

TRAIN: dict[str, Sentence] = {**_STEPS, **QUIZ}
