"""The sources of a plan's numbers as JSON; words stay as files have them."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from kiosk.catalog.source import Source, Sources
from kiosk.plan.sources import PlanSources


def of_sources(sources: PlanSources) -> dict[str, Any]:
    """Return the sources of materials by key, of the fabric and of the press."""
    return {
        "materials": {key: _owner(each) for key, each in sources.materials.items()},
        "fabric": _owner(sources.fabric),
        "press": _owner(sources.press),
    }


def of_source(source: Source) -> dict[str, Any]:
    """Return a source's kind and those of its details that are written."""
    details = {name: value for name, value in asdict(source).items() if value and name != "kind"}
    return {"kind": source.kind.value, **details}


def _owner(sources: Sources) -> dict[str, Any]:
    own = of_source(sources.owner)
    keys = {key: of_source(each) for key, each in sources.keys.items()}
    return {**own, "keys": keys} if keys else own
