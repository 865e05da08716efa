"""What is told for a tub with water: the probe before the set point, nothing beyond the data, no worse half remedy."""

import pytest
import yaml

from advisor.advice.remedies import advised
from advisor.advice.suggest import Bounds, suggestion_for
from advisor.advice.trials import beyond_data, brought, is_clear_of
from advisor.model.changes import Change, Setting
from advisor.model.figures import Figure
from advisor.model.findings import FIX, STOP, WATCH, Finding, NotJudged, Report
from advisor.reading.species import load_species
from advisor.rules.heat_from_below_wet_medium import BARE, WRAP
from tests.advice.followed import checked, told_for
from tests.changes import with_entries

TUB = yaml.load(
    """
format: 1
room: {temperature: 17 to 24 °C, humidity: 55 %}
outer_box: {inside: 58 x 38 x 34 cm, wall: {material: solid plastic, thickness: 3 mm}, lid_fits: well, stands_on: shelf}
heat: {source: water bath, place: in water, power: 150 W, bath_water: 12 L}
control:
  thermostat: on-off
  set_to: 31.5 °C
  switching_band: 0.5 °C
  probe: {sits_in: egg box medium, fixed: yes}
  cut_out: none
  checked_against: nothing
egg_boxes:
  - name: eggs
    count: 2
    holds: eggs
    inside: 19 x 12 x 9 cm
    stands: on a rack
    tier: one
    lid: {fit: clip, thickness: 1 mm, holes: {count: 4, diameter: 3 mm}}
    medium: {material: vermiculite, grade: medium, depth: 4 cm, mix: {medium: 1, water: 0.8, by: mass}}
clutches:
  - species: testudo-hermanni
    eggs: 7
    egg_mass: 15 g
    box: eggs
    wanted: females
    laying: {expected: 2027-05-18 to 2027-06-02}
    placed: half buried
    marked: yes
checks: {opens: egg boxes, rhythm: [{every: 7 days}]}
people: {residual_current_device: yes, drip_loop: yes, children_under_five: no}
""",
    Loader=yaml.BaseLoader,
)
IN_WATER = with_entries(TUB, {"control.probe.sits_in": "water"})


@pytest.mark.parametrize(
    "species", ["testudo-hermanni", "testudo-graeca", "pogona-vitticeps", "chamaeleo-calyptratus"]
)
def test_a_probe_in_the_water_is_moved_before_the_water_is_made_hot(species: str) -> None:
    """At 41 °C in the water nobody knows within five degrees how warm the eggs are; beside them the probe feels it."""
    aim = load_species(species).aim
    assert aim is not None
    middle = f"{(aim.low + aim.high) / 2} °C"
    plan = with_entries(IN_WATER, {"clutches[0].species": species, "control.set_to": middle})
    told = told_for(plan, "heat-outside-species-band")
    assert told
    for one in told:
        assert one.after is not None and one.clears and not one.brings, one.finding.remedy
        assert one.after.situation.plan.control.probe.sits_in != "water"


def test_suggest_leaves_no_fix_over_a_tub_whose_probe_is_in_the_water() -> None:
    after = suggestion_for(checked(IN_WATER), Bounds()).after.report
    assert after.verdict not in (STOP, FIX)


def test_eggs_far_from_their_band_are_not_told_to_be_uneven_as_well() -> None:
    """By what the eggs are held at, not by what the water is set to."""
    found = {one.rule for one in checked(IN_WATER).report.findings}
    assert "heat-outside-species-band" in found and "heat-uneven-between-boxes" not in found


def test_no_suggestion_leads_out_of_the_data() -> None:
    """At 32.5 °C beside a hot bath the days are not known: rules that found something before could then say nothing."""
    before = checked(TUB)
    after = suggestion_for(before, Bounds()).after
    assert isinstance(after.situation.forecast.clutches[0].incubation_days, Figure)
    assert beyond_data(after.report) <= beyond_data(before.report)


def test_what_falls_silent_for_want_of_data_is_not_cleared_but_brought() -> None:
    finding = Finding(FIX, "", "checks.rhythm", rule="one", subject="clutch 1")
    days = NotJudged(("species/some.yaml: duration",), "one", "clutch 1")
    change = Change((Setting("control.set_to", "33 °C"),), "Set it.")
    before, silent = Report((finding,), (), (), ()), Report((), (), (days,), ())
    assert not is_clear_of(finding, before, silent)
    assert brought(finding, before, silent, change) == ("one",)
    # Without days to begin with no change can tell more, and none has taken anything away.
    before = Report((finding,), (), (days,), ())
    assert is_clear_of(finding, before, silent) and brought(finding, before, silent, change) == ()


def test_a_watch_that_could_not_be_judged_before_is_not_brought() -> None:
    watch, new = Finding(WATCH, "", "heat.power", rule="one"), Finding(WATCH, "", "checks.rhythm", rule="new")
    change = Change((Setting("heat.power", "20 W"),), "Use it.")
    after = Report((new,), (), (), ())
    assert brought(watch, Report((watch,), (), (), ()), after, change) == ("new",)
    assert brought(watch, Report((watch,), (), (NotJudged(("x",), "new"),), ()), after, change) == ()


def test_of_what_is_to_be_watched_no_half_remedy_is_told() -> None:
    """A mat of 200 W on a plastic lid that it softens is no help against drops of water."""
    found = [one for one in advised(checked(TUB)).report.findings if one.severity == WATCH and one.obstacle]
    assert {one.rule for one in found} >= {"heat-from-below-wet-medium", "sex-not-as-wanted"}
    for one in found:
        assert not one.changes and "nearest" not in one.obstacle and one.remedy, one.rule


@pytest.mark.parametrize("material", BARE)
@pytest.mark.parametrize("cold", [14, 19])
def test_foam_round_a_bare_tub_does_what_is_said_of_it(material: str, cold: int) -> None:
    bare = with_entries(
        TUB, {"outer_box.wall.material": material, "room.temperature": f"{cold} to {cold + 5} °C"}
    )
    foam = {
        "outer_box.wall": {"material": "extruded polystyrene", "thickness": "30 mm"},
        "heat.power": "30 W",
    }
    before, after = (checked(plan) for plan in (bare, with_entries(bare, foam)))
    told = [next(f for f in one.report.findings if f.rule == "heat-from-below-wet-medium") for one in (before, after)]  # fmt: skip
    assert told[0].remedy == WRAP and told[1].remedy != WRAP
    bare_tub, in_foam = (one.situation.forecast for one in (before, after))
    for bath, wrapped in (
        (bare_tub.heat.heater_surface, in_foam.heat.heater_surface),
        (bare_tub.egg_boxes[0].heat.condensation, in_foam.egg_boxes[0].heat.condensation),
    ):
        assert isinstance(bath, Figure) and isinstance(wrapped, Figure) and wrapped.value < 0.9 * bath.value
