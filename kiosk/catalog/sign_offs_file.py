"""Reads sign-off.yaml: what a trainee shows in practice, by procedure family."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.catalog.notes import listed, nearest_word
from kiosk.catalog.sign_offs import FAMILIES, QUIZ_LOOKS_BACK, SignOffRule
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import whole


def sign_off_rule(key: str, spot: Spot) -> SignOffRule:
    """Return the rule under `key`; Unsound where anything in it is wrong, all noted."""
    if key not in FAMILIES:
        nearest = nearest_word(key, FAMILIES)
        raise spot.wrong(say("catalog.key.unknown"), allowed=listed(FAMILIES), nearest=nearest)
    f = spot.fields(("clean_garments", "slips_caught", "quiz_right", "valid_days"))
    clean = f.get("clean_garments", whole(1, 50))
    caught = f.get("slips_caught", whole(0, 50))
    right = f.get("quiz_right", whole(0, QUIZ_LOOKS_BACK))
    valid = f.get("valid_days", whole(1, 3650))
    return SignOffRule(clean.value, caught.value, right.value, valid.value)
