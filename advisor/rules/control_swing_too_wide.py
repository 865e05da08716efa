"""How far an on-off thermostat lets the eggs swing."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding, NotJudged
from advisor.model.species import Band, Species
from advisor.rules.engine import PLAN, Case, Lacking, Rule
from advisor.rules.shared import BOX, known

STEADY = 1.0  # K from lowest to highest that eggs bear without a thought; judgement
# share of the tolerated band that the swing may take: the set point is not exact either; judgement
HALF = 0.5
CONTROL = "thermostat: on-off, switching_band: {}, set_to: 28 °C, probe: {{sits_in: egg box medium}}"

RULE = Rule(
    id="control-swing-too-wide",
    title="The thermostat lets the eggs swing too far",
    explanation=(
        "An on-off thermostat waits until the probe is too cool, then heats at full power until it is too warm. The "
        "switching band, a strong heater and a slow probe add up. A wide swing takes the eggs out of their band for hours, "
        "many times a day, and shifts the hatching day and the sexes."
    ),
    remedy="Use a pulse or dimming thermostat, or a narrower switching band and a weaker heater.",
    sources=("judgement",),
    about=PLAN,
    levers=("control.switching_band", "control.thermostat"),
    good="control: {thermostat: pulse}",
    bad=BOX.replace("thermostat: pulse, set_to: 28 °C, probe: {sits_in: air}", CONTROL.format("4 °C"))
    + "heat: {source: mat, place: lid, power: 20 W, size: 40 x 30 cm}\npower_cut: {prepared: nothing}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The likely swing of the medium against one degree, its far end against half the narrowest tolerated band in the plan."""
    thermostat = case.plan.control.thermostat
    if thermostat is None and not case.plan.outer_box.ready_built:
        raise Lacking("control.thermostat")
    if thermostat not in ("on-off", None):
        return
    swing, show = known(case.forecast.heat.swing), case.show
    profiles = tuple(case.situation.species.values())
    bands = [(species.tolerated, species) for species in profiles if species.tolerated is not None]
    unknown = tuple(
        f"species/{species.id}.yaml: tolerated" for species in profiles if species.tolerated is None
    )
    narrowest = min(bands, key=lambda pair: pair[0].high - pair[0].low, default=None)
    half = HALF * (narrowest[0].high - narrowest[0].low) if narrowest else None
    likely_fine = swing.value <= min(STEADY, half if half is not None else STEADY)
    # What eggs bear is held against the far end of the range, what is comfortable against the likely figure.
    if likely_fine and (half is None or swing.high <= half):
        if unknown:
            yield NotJudged(unknown)
        return
    certain = half is not None and swing.low > max(STEADY, half)
    yield Finding(
        FIX if certain else WATCH,
        f"The eggs swing by {show.figure(swing)}{_against(case, narrowest)}.",
        "measured.swing" if thermostat is None else "control.switching_band",
        ""
        if thermostat
        else "Log the medium in the trial run: what it shows decides whether this incubator will do.",
        figures=(("swing", swing),),
        sources=tuple(dict.fromkeys((*RULE.sources, *(narrowest[0].support.sources if narrowest else ())))),
    )


def _against(case: Case, narrowest: tuple[Band, Species] | None) -> str:
    steady = case.show.step(STEADY)
    if narrowest is None:
        return f": up to {steady} is fine"
    band, species = narrowest
    return f"; {steady} is fine, and {species.name} tolerates a band of {case.show.step(band.high - band.low)} in all"
