"""Recipes in which no sheet gives the wait of a cold peel: it is estimated from heat."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def without_waits(place: Path) -> Path:
    """Copy the recipes to `place`, without waits and with a raised film that fits the model."""
    if not (place / "recipes").exists():
        shutil.copytree(ROOT / "recipes", place / "recipes")
    materials = place / "recipes" / "materials.yaml"
    text = re.sub(r"\n  peel_wait:.*", "", materials.read_text("utf-8"))
    materials.write_text(text.replace("surface: pile", "surface: textured"), "utf-8")
    return place / "recipes"
