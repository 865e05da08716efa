"""Times a whole heat forecast with its ranges, beside scipy's root finder on the same network: not a test.

Run from the project folder: `python -m tests.bench.bench_heat`. Goal: 60 ms at most for one forecast in a warm process.
Both sides run in one process, in turns, so that a busy machine slows them alike; medians are told.
"""

import statistics
import time
from collections.abc import Callable, Mapping

import scipy.optimize

from advisor.forecast.heat import forecast_heat
from advisor.forecast.heat_setup import HeatSetup, heat_setup
from advisor.physics.box_links import build_network
from advisor.physics.box_network import state_at_set_point
from advisor.physics.heat_balance import balance
from advisor.reading.species import load_species
from tests.forecast.boxes import plan_with

GOAL = 60.0  # ms
ROUNDS = 15
PLANS: dict[str, dict[str, str | None]] = {
    "lid heat, pulse": {"control.thermostat": "pulse"},
    "lid heat, on-off": {},
    "floor heat, on-off": {"heat.place": "floor"},
    "boxes on the mat, on-off": {"heat.place": "floor", "egg_boxes[0].stands": "on the heater"},
}


def by_scipy(setup: HeatSetup, values: Mapping[str, float]) -> float:
    """Power [W] of the same network from scipy's hybrid Powell method; all nodes start at the set point."""
    box = setup.at(values, setup.room_low)
    network = build_network(box)
    probe = network.names.index(f"{box.probe_tier} {box.probe}")

    def misfit(unknowns: list[float]) -> list[float]:
        *temperatures, power = unknowns
        flows, _ = balance(network, box.room, temperatures)
        errors = [flow - power * share for flow, share in zip(flows, network.sources, strict=True)]
        return [*errors, temperatures[probe] - box.set_point]

    start = [box.set_point + 0.01 * index for index in range(len(network.names))] + [10.0]
    found = scipy.optimize.root(misfit, start, method="hybr")
    return float(found.x[-1])


def milliseconds(run: Callable[[], object]) -> float:
    started = time.perf_counter()
    run()
    return 1e3 * (time.perf_counter() - started)


def main() -> None:
    """Prints one line a plan: the forecast, one solution each way from a cold start, the ratio."""
    species = load_species("pantherophis-guttatus")
    print(
        f"{'plan':26}{'forecast':>10}{'one solve':>11}{'by scipy':>10}{'ratio':>7}{'solves':>8}{'all by scipy':>14}{'power':>18}"
    )
    worst = 0.0
    for name, changes in PLANS.items():
        plan = plan_with(changes)
        setup = heat_setup(plan)
        assert isinstance(setup, HeatSetup)
        solves = 2 + 2 * len(setup.inputs)

        def whole(plan=plan) -> object:
            return forecast_heat(plan, {species.id: species})

        def own(setup: HeatSetup = setup) -> float:
            return state_at_set_point(setup.at({}, setup.room_low)).power

        def other(setup: HeatSetup = setup) -> float:
            return by_scipy(setup, {})

        powers = own(), other()
        rounds = [(milliseconds(whole), milliseconds(own), milliseconds(other)) for _ in range(ROUNDS)]
        forecast, one, theirs = (statistics.median(column) for column in zip(*rounds, strict=True))
        worst = max(worst, forecast)
        print(
            f"{name:26}{forecast:>7.1f} ms{one:>8.2f} ms{theirs:>7.1f} ms{theirs / one:>7.1f}{solves:>8}"
            f"{solves * theirs:>11.0f} ms{powers[0]:>9.3f}, {powers[1]:.3f}"
        )
    print(f"slowest forecast {worst:.0f} ms, goal {GOAL:.0f} ms: {'met' if worst <= GOAL else 'MISSED'}")


if __name__ == "__main__":
    main()
