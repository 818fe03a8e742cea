"""Between what the log keeps of a lesson and what the heat room learns by."""

from __future__ import annotations

from kiosk.heat.learn import LIFTED, PAD, Beta
from kiosk.run.state import Kept, Lies, State

PRIORS = {Lies.LIFTED: LIFTED, Lies.ON_PAD: PAD}


def beta_of(state: State, lies: Lies) -> Beta:
    """Return what is known for one way of cooling, the prior where nothing was learned."""
    known = state.betas.get(lies.value)
    if known is None:
        return PRIORS[lies]
    return Beta(known.mean, known.weight, known.ready_by, known.moments, known.two_sided)


def kept(beta: Beta) -> Kept:
    """Return what the log keeps of it."""
    return Kept(
        beta.two_sided_mean, beta.two_sided_weight, beta.ready_by, beta.moments, beta.two_sided
    )
