"""Entries that the plan leaves out: each is named by all figures that need it, and by no other."""

import pytest
from msgspec import structs

from advisor.model.figures import Figure
from tests.forecast.heat.test_heat import forecast, needs, value

NETWORK = (
    "room.temperature", "outer_box.inside", "outer_box.wall.material", "outer_box.wall.thickness", "outer_box.lid_fits",
    "outer_box.stands_on", "heat.source", "heat.place", "heat.size", "control.set_to", "control.probe.sits_in",
    "egg_boxes[0].count", "egg_boxes[0].inside", "egg_boxes[0].stands", "egg_boxes[0].tier", "egg_boxes[0].medium.depth",
)  # fmt: skip
LOSS = NETWORK[1:6]
CAPACITY = (
    "power_cut.prepared", "egg_boxes[0].count", "egg_boxes[0].inside", "egg_boxes[0].medium.material",
    "egg_boxes[0].medium.depth", "egg_boxes[0].medium.mix",
)  # fmt: skip
NEEDED = {
    "conductance": LOSS,
    "watts_needed": NETWORK,
    "power_share": (*NETWORK, "heat.power"),
    "stuck_on_temperature": (*LOSS, "room.temperature", "heat.power"),  # by its loss alone where the network is wanting
    "heater_surface": NETWORK,
    "heater_surface_full": (*NETWORK, "heat.power"),
    "spread": NETWORK,
    "outer_humidity": (*NETWORK, "room.humidity"),
    "swing": (
        *LOSS, *CAPACITY, "room.temperature", "heat.power", "control.thermostat", "control.switching_band",
        "control.set_to", "control.probe.sits_in",
    ),
    "hours_to_harm": (*LOSS, *CAPACITY, "room.temperature", "control.set_to"),
    "hours_to_lose_3_K": (*LOSS, *CAPACITY, "room.temperature", "control.set_to"),
    "medium_after_12_h": (*LOSS, *CAPACITY, "room.temperature", "control.set_to"),
    "warm_up_hours": (*NETWORK, *CAPACITY, "heat.power"),
}  # fmt: skip
EVERY_ENTRY = tuple(dict.fromkeys(entry for entries in NEEDED.values() for entry in entries))


@pytest.mark.parametrize("entry", EVERY_ENTRY)
def test_an_entry_left_out_is_named_by_all_that_need_it_and_by_nothing_else(entry: str) -> None:
    results = forecast({entry: None})
    for name, entries in NEEDED.items():
        found = getattr(results.heat, name)
        assert (needs(found) == (entry,)) if entry in entries else isinstance(found, Figure), name
    for tier in structs.fields(results.lower):
        found = getattr(results.lower, tier.name)
        if entry in NETWORK:
            assert needs(found) == (entry,)
        elif tier.name != "condensation_if_lid_heated":  # a lid-heated box has no such twin
            assert isinstance(found, Figure)


def test_all_entries_left_out_are_named_together() -> None:
    results = forecast({"heat.power": None, "room.temperature": None, "outer_box.lid_fits": None})
    assert set(needs(results.heat.stuck_on_temperature)) == {
        "heat.power", "room.temperature", "outer_box.lid_fits",
    }  # fmt: skip


def test_water_bath_needs_no_heater_size() -> None:
    changes: dict[str, str | None] = {
        "heat.source": "water bath",
        "heat.place": "in water",
        "heat.size": None,
    }
    assert isinstance(forecast(changes).heat.watts_needed, Figure)


def test_outside_size_with_wall_is_the_same_box() -> None:
    outside: dict[str, str | None] = {"outer_box.inside": None, "outer_box.outside": "66 x 46 x 31 cm"}
    inside, other = forecast(), forecast(outside)
    for name in NEEDED:
        one, two = getattr(inside.heat, name), getattr(other.heat, name)
        assert value(two) == pytest.approx(value(one), rel=1e-9), name
