"""What settles on the sides of the egg boxes' headspaces, which referees count together with what settles on the lids."""

from advisor.formulas.heat.box_links import build_network
from advisor.formulas.heat.box_network import BoxState
from advisor.formulas.heat.box_setup import BoxSetup
from advisor.formulas.heat.headspace import side_condensation

GRAMS_A_DAY = 86400e3  # from kg/s


def condensation_on_sides(setup: BoxSetup, state: BoxState) -> tuple[float, ...]:
    """Water on the sides of one box of each tier [kg/s], the lower tier first."""
    network, t = build_network(setup), state.temperatures
    counts = [boxes.count for boxes in (setup.lower, setup.upper) if boxes is not None]
    return tuple(
        side_condensation(space, t[space.surface], t[space.lid], t[space.sides], t[space.medium_sides])
        / count
        for space, count in zip(network.headspaces, counts, strict=True)
    )
