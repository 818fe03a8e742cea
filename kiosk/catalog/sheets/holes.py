"""Holes that a supplier's sheet leaves between a material's bands: not a fault, but reported."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import DwellBand, Material, PeelBand, covered_ranges


def holes(materials: Iterable[Material]) -> Iterator[Message]:
    """Yield a message for each range of whole degrees that no band covers."""
    for each in materials:
        for key, bands in (("dwell", each.dwell), ("peel", each.peel)):
            for first, last in _between(bands):
                yield say("catalog.bands.left_out", key=f"{each.key}.{key}", first=first, last=last)


def _between(bands: tuple[DwellBand | PeelBand, ...]) -> Iterator[tuple[str, str]]:
    """Yield the first and last degree of each hole, in the bands' own unit."""
    for unit in {band.start.unit for band in bands[:1]}:
        for (_, end), (start, _) in pairwise(covered_ranges(bands, unit)):
            yield f"{end + 1} {unit.value}", f"{start - 1} {unit.value}"
