"""Adding water during incubation."""

from collections.abc import Iterator

from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule

LONG = 90.0  # days; half as long again as the 60 days that a usual mix lasts by common practice; judgement

RULE = Rule(
    id="moisture-no-top-up-planned",
    title="No top-up is planned for eggs that need one",
    explanation=(
        "Water leaves through the lid, and the eggs drink their share. In a short incubation a good mix has enough for "
        "both. In a long one it dries out, often so slowly that nobody sees it. The eggs then sink in and may die in the "
        "last weeks. An egg that is still firm inside can fill up again when it gets water in time."
    ),
    remedy="Weigh the box at each check and add the water it lost, at the edge and never on the eggs.",
    sources=("practice",),
    about=CLUTCH,
    needs=("box.medium",),
    implied_by=("moisture-mix-too-short",),
    levers=("box.top_up",),
    good="""\
egg_boxes: [{name: eggs, top_up: by weight}]
clutches: [{species: chamaeleo-calyptratus, box: eggs}]""",
    bad="""\
egg_boxes: [{name: eggs, top_up: none}]
clutches: [{species: chamaeleo-calyptratus, box: eggs}]""",
)


def check(case: Case) -> Iterator[Finding]:
    """No top-up where the profile expects one, or where the incubation is long. Told once for each species in a box."""
    top_up, species, days = case.box.top_up, case.species, case.clutch_forecast.incubation_days
    same = [clutch for clutch, other in case.clutches_in_box if other is species]
    if same[0] is not case.clutch:
        return
    if case.box.medium.material == "none" or (top_up is not None and top_up.way != "none"):
        return
    if species.medium.top_up == "expected":
        severity, why = FIX, f"the eggs of {species.name} usually need one"
    elif isinstance(days, Unknown):
        raise Lacking(*case.missing(("clutch_forecast.incubation_days",)))
    elif days.high > LONG:
        severity = FIX if days.low > LONG else WATCH
        why = f"the incubation takes {case.show.days_range(days.low, days.high)}"
    elif species.medium.top_up is None:
        raise Lacking("species.medium.top_up")
    else:
        return
    if top_up is None:
        raise Lacking("box.top_up")
    severity, hope = _by_forecast(case, severity)
    rigid = species.eggs.shell == "rigid"
    hidden = (
        ""
        if rigid
        else "What the eggs drink does not show on the scale. Tell the advisor the weight: it counts that in."
    )
    yield Finding(
        severity,
        f"No top-up is planned, but {why}.{hope}",
        "box.top_up",
        f"{RULE.remedy} {hidden}".strip() if severity == NOTE else hidden,
        subject=case.box_subject,
    )


def _by_forecast(case: Case, severity: str) -> tuple[str, str]:
    """Less severe when the water forecast says that the mix lasts, surely or likely."""
    found, band = case.box_forecast.water, case.species.medium.water
    end, lasts = found.water_at_hatching, found.lasts_until_day
    if not (isinstance(end, Figure) and isinstance(lasts, Figure)) or band is None or end.value < band.low:
        return severity, ""
    if end.low < band.low:
        return WATCH, " By the forecast this mix may last, and it may not."
    return NOTE, " By the forecast this mix lasts all the same: weigh the box to be sure."
