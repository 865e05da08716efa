"""Likely ranges: the law of propagation of uncertainty against known answers and against a Monte Carlo run.

JCGM 100:2008, 5.1.2: the variance of a result is the sum over the inputs of (change for one input)². JCGM 101:2008: draw
all inputs at once, propagate each draw, read off the interval of 95 %. Low and high of an input are taken as its 95 %
interval, two standard deviations on each side (a normal distribution on each side for a lopsided one).
"""

import importlib
import math
import pkgutil
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import pytest

import advisor
from advisor.forecast.egg_box import vents
from advisor.forecast.heat import outer_air, parts
from advisor.forecast.ranges import Spread, Uncertainty, figure, opened, propagate, widened
from advisor.formulas.air.moist_air import NoSolution
from advisor.formulas.air.vents import LikelyRange

X = Uncertainty("x", 10.0, 9.0, 11.0, "weigh x")
Y = Uncertainty("y", 5.0, 4.0, 8.0, "measure y")


def drawn(inputs: Sequence[Uncertainty], number: int, seed: int) -> list[dict[str, float]]:
    """Draws of all inputs at once: a normal distribution on each side, with its 95 % ends at low and high."""
    source = np.random.default_rng(seed)
    normal = source.standard_normal((number, len(inputs)))
    return [
        {
            entry.name: entry.typical
            + z / 1.96 * (entry.high - entry.typical if z > 0 else entry.typical - entry.low)
            for entry, z in zip(inputs, row, strict=True)
        }
        for row in normal.tolist()
    ]


def interval(results: Sequence[float]) -> tuple[float, float]:
    low, high = np.percentile(results, [2.5, 97.5])
    return float(low), float(high)


def test_sum_of_two_inputs_by_hand() -> None:
    # f = 3x - y: x moves it by 3 each way; y up by 3 lowers it by 3, y down by 1 raises it by 1 (arithmetic).
    spread = propagate(lambda at: {"f": 3 * at["x"] - at["y"]}, [X, Y])["f"]
    assert spread.value == 25.0
    assert spread.low == pytest.approx(25 - math.hypot(3, 3), abs=1e-12)
    assert spread.high == pytest.approx(25 + math.hypot(3, 1), abs=1e-12)
    assert spread.matters_most == "weigh x"


def test_product_by_the_published_rule() -> None:
    # JCGM 100, 5.1.6: relative uncertainties of a product add in quadrature: 10 % and 20 % give 22.4 %.
    even = [X, Uncertainty("y", 5.0, 4.0, 6.0, "measure y")]
    spread = propagate(lambda at: {"f": at["x"] * at["y"]}, even)["f"]
    assert spread.high / spread.value - 1 == pytest.approx(math.hypot(0.1, 0.2), rel=1e-12)
    assert 1 - spread.low / spread.value == pytest.approx(math.hypot(0.1, 0.2), rel=1e-12)
    assert spread.matters_most == "measure y"


def test_plain_model_agrees_with_monte_carlo() -> None:
    inputs = [
        Uncertainty("x", 10.0, 9.0, 11.0, ""),
        Uncertainty("y", 5.0, 4.5, 5.5, ""),
        Uncertainty("z", 2.0, 1.5, 2.5, ""),
    ]

    def model(at: Mapping[str, float]) -> dict[str, float]:
        return {"f": 3 * at["x"] - 2 * at["y"] + 4 * at["z"]}

    spread = propagate(model, inputs)["f"]
    low, high = interval([model(at)["f"] for at in drawn(inputs, 20_000, 1)])
    # Known answer for a linear model: ±sqrt(3² + 1² + 2²). The end of a 95 % interval of 20 000 draws has a standard
    # error of sqrt(0.025 x 0.975/20000)/0.0584 = 1.9 % of one standard deviation, 1 % of the half width: 3 % is three.
    half = math.sqrt(14)
    assert (spread.low, spread.high) == pytest.approx((28 - half, 28 + half), abs=1e-12)
    assert (low, high) == pytest.approx((spread.low, spread.high), abs=0.03 * half)


def test_input_without_solution_on_one_side_is_passed_over_there() -> None:
    def model(at: Mapping[str, float]) -> dict[str, float]:
        if at["x"] > 10:
            raise NoSolution("no solution")
        return {"f": at["x"]}

    assert propagate(model, [X])["f"] == Spread(10.0, 9.0, 10.0, "weigh x")


def test_no_solution_at_the_typical_values_is_an_error() -> None:
    def model(at: Mapping[str, float]) -> dict[str, float]:
        raise NoSolution("no solution")

    with pytest.raises(ValueError, match="no solution"):
        propagate(model, [X])


def test_inputs_known_exactly_leave_no_range() -> None:
    exact = Uncertainty("x", 10.0, 10.0, 10.0, "")
    assert propagate(lambda at: {"f": at["x"]}, [exact])["f"] == Spread(10.0, 10.0, 10.0, "")


def test_what_a_model_leaves_open_widens_but_never_narrows() -> None:
    spread = Spread(10.0, 9.0, 14.0, "x")
    assert widened(spread, 2.0, 3.0) == Spread(10.0, 8.0, 14.0, "x")
    assert widened(spread, 0.5, 5.0) == Spread(10.0, 9.0, 15.0, "x")


def test_what_a_model_leaves_open_counts_in_quadrature() -> None:
    # By hand: 10 (7 to 14) times 2 is 20 (14 to 28); with 8 below and 6 above: hypot(6, 8) = 10, hypot(8, 6) = 10.
    assert opened(Spread(10.0, 7.0, 14.0, "x"), 2.0, 8.0, 6.0) == Spread(20.0, 10.0, 30.0, "x")


def test_figure_keeps_to_its_bounds() -> None:
    shown = figure(Spread(1.0, -0.5, 7.0, "x"), "share", "basis", least=0.0, most=5.0)
    assert (shown.value, shown.low, shown.high) == (1.0, 0.0, 5.0)
    assert (shown.quantity, shown.basis, shown.matters_most) == ("share", "basis", "x")


# Three numbers that are no range: days between checks, limits of cold, a threshold with its range behind it, a matrix.
NO_RANGES = {"THIRDS", "COLD", "USUAL_THRESHOLD", "_IDENTITY"}


def told_ranges(value: object) -> Iterator[tuple[float, float, float]]:
    """Low, typical and high of each range in a constant."""
    if isinstance(value, LikelyRange | Uncertainty):
        yield value.low, value.typical, value.high
    elif isinstance(value, tuple) and len(value) == 3 and all(isinstance(one, float) for one in value):
        yield value
    elif isinstance(value, tuple | dict):
        for part in value.values() if isinstance(value, dict) else value:
            yield from told_ranges(part)


def test_what_nobody_knows_lies_between_its_ends_and_within_two_orders_of_magnitude() -> None:
    tried = 0
    for module in pkgutil.walk_packages(advisor.__path__, "advisor."):
        if not module.name.startswith(("advisor.forecast.", "advisor.formulas.")):
            continue
        for name, value in vars(importlib.import_module(module.name)).items():
            if name.strip("_").isupper() and name not in NO_RANGES:
                for low, typical, high in told_ranges(value):
                    tried += 1
                    assert low <= typical <= high and (low <= 0.0 or high <= 100.0 * low), (module.name, name)
    assert tried > 40


def test_moving_air_has_the_film_of_a_plate_in_a_laminar_stream() -> None:
    # Mean Nu = 0.664 Re^(1/2) Pr^(1/3) (Incropera et al., eq. 7.30, from memory), air of 27 °C (its table A.4, from memory):
    # 0.0263 W/(m K), 15.9e-6 m2/s, Pr 0.707; a plate of 0.3 m. Told to half a watt or better.
    for speed, place in zip(parts.STIRRED[1:], (1, 2), strict=True):
        film = 0.664 * math.sqrt(speed * 0.3 / 15.9e-6) * 0.707 ** (1 / 3) * 0.0263 / 0.3
        for told in (outer_air.STIRRED_FILM, vents.STIRRED_FILM):
            assert told[place] == pytest.approx(film, abs=0.2)
