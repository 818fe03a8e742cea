"""The acts of a usual garment, and of an empty press between garments."""

from __future__ import annotations

from kiosk.heat.garment import Act, Where

LIFTING_SECONDS = 2.0  # from opening until the garment is off the pad
LAYING_SECONDS = 10.0
COVERING_SECONDS = 3.0
STRIPPING_SECONDS = 5.0


def usual(
    *,
    films: int = 1,
    pre_press: float = 5.0,
    tack: float = 2.0,
    final: float = 15.0,
    carrier: bool = True,
    sheet: bool = True,
    where: Where = Where.LIFTED,
    cooling: float = 300.0,
) -> tuple[Act, ...]:
    """Return pre-press, laying and tacking of each film, the final and cooling; seconds.

    `carrier` says whether the top film's is on in the final and after it, `sheet` whether the
    final has the cover sheet. Acts of no seconds are left out.
    """
    acts = [Act("prepress", pre_press, closed=True)]
    for n in range(1, films + 1):
        acts += [
            Act(f"lay{n}", LAYING_SECONDS, films=n - 1),
            Act(f"tack{n}", tack, closed=True, films=n, carrier=True),
        ]
        if n < films or not carrier:
            acts.append(Act(f"strip{n}", STRIPPING_SECONDS, films=n, carrier=True))
    acts += [
        Act("cover_on", COVERING_SECONDS, films=films, carrier=carrier),
        Act("final", final, closed=True, films=films, carrier=carrier, sheet=sheet),
        *cooling_acts(films, carrier, where, cooling),
    ]
    return tuple(act for act in acts if act.seconds > 0)


def cooling_acts(
    films: int, carrier: bool, where: Where, seconds: float, lifted_at: float = LIFTING_SECONDS
) -> tuple[Act, ...]:
    """Return the acts after opening, `seconds` in all; lifted `lifted_at` seconds after it."""
    on_pad = seconds if where is Where.PAD else min(lifted_at, seconds)
    return (
        Act("cool", on_pad, films=films, carrier=carrier),
        Act("cool", seconds - on_pad, films=films, carrier=carrier, where=where),
    )


def idle(seconds: float, closed: bool = False) -> Act:
    """Return the empty press, open or closed, for that long."""
    return Act("idle", seconds, closed=closed, empty=True)
