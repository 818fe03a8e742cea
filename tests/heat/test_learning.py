"""β learned from what the shop sees: two-sided moments, ready by then, and lifted edges."""

from __future__ import annotations

from itertools import pairwise
from math import erf, exp, log, pi, sqrt

import pytest
from usual_garment import found_ready, usual

from kiosk.catalog.model.sheets import Peel
from kiosk.heat.curve import (
    Observation,
    ObservationKind,
    good_peel,
    infrared,
    lifted_edge,
    not_ready,
    solve,
    touch_check,
)
from kiosk.heat.garment import Cooling, Setup, peel_zones, story
from kiosk.heat.learn import (
    KEPT_MOMENTS,
    LIFTED,
    PAD,
    WIDENED,
    WRONG_SHARE,
    WRONG_SPREAD,
    Beta,
    expected,
    is_far,
    learn,
    learn_all,
)

SOLVED = solve(story(Setup(149.0), usual()))


def test_the_priors_have_spreads_of_20_and_30_percent() -> None:
    assert (LIFTED.factor, PAD.factor) == (1.0, 1.0)
    assert LIFTED.weight == pytest.approx(25.0)
    assert PAD.weight == pytest.approx(11.111, rel=1e-4)


def by_scipy(beta: Beta, seen: list[Observation]) -> tuple[float, float]:
    """Return mean and variance of the same posterior, by scipy's densities and quadrature."""
    from scipy.integrate import quad  # slow import: not at collection
    from scipy.stats import norm

    def density(x: float) -> float:
        found = float(norm.pdf(x, beta.two_sided_mean, beta.two_sided_weight**-0.5))
        for each in seen:
            right = norm.pdf(each.log_ratio, x, each.spread)
            wrong = norm.pdf(each.log_ratio, x, WRONG_SPREAD)
            found *= float((1 - WRONG_SHARE) * right + WRONG_SHARE * wrong)
        return found

    ends = {"a": -2.0, "b": 2.0, "points": [-0.3, 0.0, 0.3], "limit": 500}
    total = quad(density, **ends)[0]
    mean = quad(lambda x: x * density(x), **ends)[0] / total
    return mean, quad(lambda x: (x - mean) ** 2 * density(x), **ends)[0] / total


@pytest.mark.parametrize("ratios", [(1.3,), (0.7, 1.0), (1.4, 1.0, 1.05, 0.95, 1.0, 1.02)])
def test_the_posterior_of_moments_agrees_with_scipy(ratios: tuple[float, ...]) -> None:
    seen = [found_ready(50.0 * ratio, 50.0) for ratio in ratios]
    beta = learn_all(LIFTED, seen)
    mean, variance = by_scipy(LIFTED, seen)
    assert beta.mean == pytest.approx(mean, abs=1e-4)
    assert 1 / beta.weight == pytest.approx(variance, rel=1e-3)


def test_a_moment_near_the_estimate_moves_it_by_the_weights() -> None:
    """Two Gaussians: w' = 25 + 1/0.22² = 45.661, m' = ln(1.1)·20.661/45.661 (computed by hand)."""
    beta = learn_all(LIFTED, [found_ready(55.0, 50.0)])
    assert beta.weight == pytest.approx(45.661, rel=0.03)
    assert beta.mean == pytest.approx(0.04313, rel=0.03)


def reading(ratio: float) -> Observation:
    """Return a thermometer reading with a usual narrow spread."""
    return Observation(ObservationKind.MOMENT, 60.0 * ratio, 60.0, 0.1)


@pytest.mark.parametrize("ratio", [0.45, 0.6, 1.6, 2.0, 2.4])
def test_one_reading_far_from_a_fresh_shops_estimate_teaches_nothing(ratio: float) -> None:
    assert is_far(LIFTED, reading(ratio))
    assert learn(LIFTED, reading(ratio), LIFTED) is LIFTED


@pytest.mark.parametrize("ratio", [0.75, 1.35])
def test_a_reading_is_far_from_the_shops_learned_factor_and_not_the_models(ratio: float) -> None:
    known = learn_all(LIFTED, [found_ready(50.0 * ratio, 50.0)] * 8)
    assert not is_far(known, reading(known.factor))
    assert is_far(known, reading(known.factor**-2))


def test_repeated_readings_never_make_an_impossible_shop() -> None:
    assert learn(LIFTED, reading(4.0), LIFTED, earlier=reading(4.0)) is LIFTED
    assert learn(LIFTED, reading(0.2), LIFTED, earlier=reading(0.2)) is LIFTED


def test_a_far_reading_counts_only_if_a_second_one_agrees() -> None:
    twice = learn(LIFTED, reading(1.65), LIFTED, earlier=reading(1.7))
    assert twice.factor == pytest.approx(1.65**0.8, rel=0.02)  # w = 100 of 125
    assert twice.two_sided == 1
    assert learn(LIFTED, reading(1.7), LIFTED, earlier=reading(0.5)) is LIFTED
    near = learn(LIFTED, reading(1.05), LIFTED, earlier=reading(1.7))
    assert near == learn(LIFTED, reading(1.05), LIFTED)


@pytest.mark.parametrize("bad", [0.5, 0.67, 1.5, 2.0])
@pytest.mark.parametrize("prior", [LIFTED, PAD])
def test_ten_good_moments_undo_one_bad_one(prior: Beta, bad: float) -> None:
    good = [found_ready(60.0 * (1 + 0.02 * (n % 3 - 1)), 60.0) for n in range(10)]
    without = learn_all(prior, good)
    tap = found_ready(60.0 * bad, 60.0)
    for seen in ([reading(bad), *good], [*good, reading(bad)], [tap, *good]):
        beta = learn_all(prior, seen)
        assert beta.factor == pytest.approx(without.factor, rel=0.05)
        assert beta.low < 1.0 < beta.high


@pytest.mark.parametrize("bad", [0.75, 0.8, 1.25, 1.35])
def test_the_truth_stays_in_range_after_one_slightly_wrong_moment(bad: float) -> None:
    beta = learn_all(LIFTED, [reading(bad), *[found_ready(60.0, 60.0)] * 10])
    assert beta.low < 1.0 < beta.high


def test_a_long_row_of_moments_is_summarized() -> None:
    beta = learn_all(LIFTED, [found_ready(66.0, 60.0)] * 100)
    assert len(beta.moments) <= KEPT_MOMENTS
    assert beta.factor == pytest.approx(1.1, rel=0.01)
    assert beta.two_sided == 100


def test_one_sided_evidence_does_not_narrow_the_range() -> None:
    by_then = learn_all(LIFTED, [good_peel(50.0, 60.0, prompted=True)] * 30)
    assert by_then.at_least
    assert by_then.weight == pytest.approx(LIFTED.weight)
    assert learn_all(LIFTED, [not_ready(50.0, 60.0)]).at_least
    assert not learn(by_then, found_ready(60.0, 60.0), LIFTED).at_least
    assert not LIFTED.at_least


def test_the_expected_temperatures_are_the_curves_at_the_ends_of_the_range() -> None:
    found = expected(LIFTED, SOLVED.cooling, SOLVED.opened, 60.0)
    assert found is not None
    middle = SOLVED.cooling.at(SOLVED.opened + 60.0)
    assert middle is not None
    assert found[0] < middle < found[1]
    assert found[1] == SOLVED.cooling.at(SOLVED.opened + 60.0 / LIFTED.high)


def test_five_moments_find_the_truth_with_a_narrow_range() -> None:
    beta = learn_all(LIFTED, [found_ready(75.0, 60.0)] * 5)
    assert beta.factor == pytest.approx(1.25, rel=0.05)
    assert beta.spread < LIFTED.spread / 1.8
    assert beta.low < 1.25 < beta.high


def test_the_order_of_moments_and_good_peels_does_not_matter() -> None:
    seen = [found_ready(50, 45), good_peel(40, 45, prompted=True), found_ready(44, 45)]
    one, other = learn_all(LIFTED, seen), learn_all(LIFTED, reversed(seen))
    assert (one.mean, one.weight) == pytest.approx((other.mean, other.weight))


def test_a_good_peel_before_its_prompt_is_a_moment() -> None:
    assert good_peel(40, 45, prompted=False).kind is ObservationKind.MOMENT


def by_sum(mean: float, variance: float, bound: float, spread: float) -> tuple[float, float]:
    """Return mean and variance of the Gaussian times Φ((bound - x)/spread), by plain summing."""
    steps = [mean + sqrt(variance) * (-8 + 16 * n / 20000) for n in range(20001)]

    def density(x: float) -> float:
        likelihood = (1 + erf((bound - x) / spread / sqrt(2))) / 2
        return likelihood * exp(-((x - mean) ** 2) / (2 * variance)) / sqrt(2 * pi * variance)

    weights = [density(x) for x in steps]
    total = sum(weights)
    first = sum(w * x for w, x in zip(weights, steps, strict=True)) / total
    second = sum(w * (x - first) ** 2 for w, x in zip(weights, steps, strict=True)) / total
    return first, second


@pytest.mark.parametrize("ratio", [0.5, 0.8, 1.0, 1.1, 1.6])
def test_a_peel_that_was_ready_moves_the_mean_like_a_truncated_gaussian(ratio: float) -> None:
    """The matched moments are compared with the integral itself, summed step by step."""
    beta = learn_all(LIFTED, [good_peel(60 * ratio, 60.0, prompted=True)])
    mean, variance = by_sum(0.0, 0.04, log(ratio), 0.22)
    assert beta.mean == pytest.approx(mean, abs=1e-4)
    assert variance < 1 / beta.weight == pytest.approx(0.04)  # it claims no narrower range


def test_a_peel_that_was_ready_never_makes_prompts_later() -> None:
    for ratio in (0.3, 1.0, 2.0, 20.0):
        assert learn_all(LIFTED, [good_peel(60 * ratio, 60.0, prompted=True)]).mean <= 0
    late = learn_all(LIFTED, [good_peel(600.0, 60.0, prompted=True)])
    assert late.mean == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("prior", [LIFTED, PAD, Beta(0.2, 60.0), Beta(-0.2, 150.0)])
@pytest.mark.parametrize("peel", [Peel.WARM, Peel.COLD])
def test_two_hundred_obeyed_prompts_do_not_make_the_estimate_drift(prior: Beta, peel: Peel) -> None:
    beta, means = prior, [prior.mean]
    for garment in range(200):
        cooling = Cooling(SOLVED.cooling, SOLVED.opened, 23.0, beta)
        prompt = peel_zones(peel, cooling).prompt_seconds
        model = cooling.seconds_to(65.0 if peel is Peel.WARM else 30.0)
        assert prompt is not None
        assert model is not None
        seen = good_peel(prompt + 3.0 + garment % 8, model, prompted=True)
        beta = learn(beta, seen, prior)
        means.append(beta.mean)
    assert all(b <= a for a, b in pairwise(means))  # one-sided: never later by its own prompts
    assert means[0] - means[-1] < 0.4 * prior.weight**-0.5  # bounded by what was uncertain
    assert means[10] - means[-1] < 0.01


def test_prompts_without_any_margin_still_settle() -> None:
    beta, means = PAD, []
    for _ in range(200):
        beta = learn(beta, good_peel(50 * beta.factor + 3.0, 50.0, prompted=True), PAD)
        means.append(beta.mean)
    assert means[50] - means[-1] < 0.01


def test_a_lifted_edge_makes_the_estimate_later_and_wider() -> None:
    before = learn_all(LIFTED, [found_ready(60.0, 60.0)] * 3)
    after = learn(before, lifted_edge(60.0, 60.0), LIFTED)
    assert after.mean > before.mean + 0.02
    assert after.spread > before.spread


def test_lifted_edges_widen_the_range_only_to_a_limit() -> None:
    beta = LIFTED
    seen = [lifted_edge(40.0, 60.0)] * 6
    assert learn_all(beta, seen).two_sided_weight == pytest.approx(
        LIFTED.two_sided_weight / WIDENED
    )
    narrow = learn_all(LIFTED, [found_ready(60.0, 60.0)] * 9)
    edges = [lifted_edge(40.0, 60.0)] * 20
    for edge in edges:
        narrow = learn(narrow, edge, LIFTED)
    assert narrow.two_sided_weight == pytest.approx(LIFTED.two_sided_weight / WIDENED)


def test_lifted_edges_until_one_holds_bring_the_prompt_to_the_truth() -> None:
    """A shop half as slow again: the true moment is 75 s, the model's 50 s."""
    beta = LIFTED
    for _ in range(30):
        peeled = 50 * beta.high
        seen = lifted_edge if peeled < 75 else None
        fresh = seen(peeled, 50.0) if seen else good_peel(peeled, 50.0, prompted=True)
        beta = learn_all(beta, [fresh])
    assert 50 * beta.high == pytest.approx(75, rel=0.2)


def test_an_edge_lifted_far_beyond_the_range_is_ignored() -> None:
    after = learn_all(LIFTED, [lifted_edge(600.0, 60.0)])
    assert after.mean == LIFTED.mean


def test_a_lifted_edge_discards_the_good_peel_it_contradicts() -> None:
    good = learn_all(LIFTED, [good_peel(40.0, 50.0, prompted=True)])
    assert learn_all(good, [lifted_edge(45.0, 50.0)]).ready_by is None
    unchanged = learn_all(good, [lifted_edge(30.0, 50.0)])
    assert unchanged.ready_by == good.ready_by


def test_a_reset_gives_the_prior() -> None:
    assert learn_all(PAD, []) is PAD


def test_a_readings_spread_comes_from_its_thermometer_and_the_slope() -> None:
    """s = hypot(hypot(2, 0.03·(T-Ta))/|dT/dt|/t, 0.08), with the slope from two look-ups."""
    seen = infrared(SOLVED.cooling, SOLVED.opened, 60.0, 50.0, 23.0)
    assert seen is not None
    moment = SOLVED.opened + seen.model_seconds
    above, below = SOLVED.cooling.at(moment - 1), SOLVED.cooling.at(moment + 1)
    assert above is not None
    assert below is not None
    kelvin = sqrt(2**2 + (0.03 * 27) ** 2)
    blurred = kelvin / ((above - below) / 2) / seen.model_seconds
    assert seen.spread == pytest.approx(sqrt(blurred**2 + 0.08**2), rel=0.03)
    assert SOLVED.cooling.at(moment) == pytest.approx(50.0)


def test_a_reading_teaches_more_than_a_touch_and_a_touch_more_than_a_tap() -> None:
    reading = infrared(SOLVED.cooling, SOLVED.opened, 60.0, 50.0, 23.0)
    touch = touch_check(SOLVED.cooling, SOLVED.opened, 60.0, 50.0, 23.0)
    assert reading is not None
    assert touch is not None
    assert reading.spread < touch.spread < found_ready(60.0, 50.0).spread


def test_a_reading_the_model_never_reaches_teaches_nothing() -> None:
    assert infrared(SOLVED.cooling, SOLVED.opened, 60.0, 20.0, 23.0) is None
    assert infrared(SOLVED.cooling, SOLVED.opened, 60.0, 300.0, 23.0) is None
    assert infrared(SOLVED.cooling, SOLVED.opened, 0.0, 50.0, 23.0) is None


@pytest.mark.parametrize("values", [(0.0, 50.0, 0.2), (60.0, 0.0, 0.2), (60.0, 50.0, 0.0)])
def test_an_observation_with_zero_seconds_is_refused(values: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        Observation(ObservationKind.MOMENT, *values)


def test_still_warm_makes_the_estimate_later_and_narrower() -> None:
    before = learn_all(LIFTED, [found_ready(60.0, 60.0)] * 3)
    after = learn(before, not_ready(63.0, 60.0), LIFTED)
    assert after.mean > before.mean + 0.02
    assert after.spread < before.spread


def test_a_lifted_edge_at_the_call_makes_later_cold_peels_wait_longer() -> None:
    edge = lifted_edge(60.0 * LIFTED.high + 3.0, 60.0)  # a cold peel is called at the range's end
    assert learn(LIFTED, edge, LIFTED).high > LIFTED.high * 1.05
    far = lifted_edge(60.0 * LIFTED.high * 1.6, 60.0)  # no longer a matter of time
    assert learn(LIFTED, far, LIFTED).mean == LIFTED.mean
