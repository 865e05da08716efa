"""The sexes to expect at the set point against the sexes that are wanted."""

import math
from collections.abc import Iterator

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import MaleShare, SetPoint
from advisor.forecast.hatching import share_at, thermostat_error
from advisor.forecast.sex_steering import (
    TWO_SIGMA,
    WANTED_SHARE,
    best_set_point,
    possible_settings,
    shares_between,
    untold,
)
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, SEVERITIES, WATCH, Finding, NotJudged
from advisor.model.species import Species
from advisor.rules.engine import CLUTCH, Case, Rule
from advisor.show import Show

ENOUGH = 0.7  # share of the wanted sex [0-1] that counts as what was wanted; judgement
BOTH = (0.2, 0.8)  # share of males [0-1] within which both sexes will hatch; judgement
NO_BETTER = 0.05  # gain in share [0-1] below which another set point is not worth naming; judgement
WIDE = 0.3  # a range of shares [0-1] as wide as this is told in steps of five percent; judgement
HAIR = 1e-9  # so that a whole step is not rounded outward
TOLD_EFFECT = 0.05  # change of the share [0-1] from the thermostat's error that is worth telling; judgement

RULE = Rule(
    id="sex-not-as-wanted",
    title="Temperature will not give the sexes that you want",
    explanation=(
        "In many geckos, turtles and tortoises the warmth of the egg sets the sex of the young. It is decided within a "
        "few weeks, in the first half or the middle of the incubation, and cannot be changed later. One degree can turn "
        "most of a clutch from one sex to the other. Where chromosomes set the sex, temperature cannot steer it at all."
    ),
    remedy="Set the thermostat to the temperature that gives the sex you want, before the eggs come.",
    sources=("judgement",),
    about=CLUTCH,
    needs=("clutch.wanted",),
    good=(
        "control: {set_to: 27 °C, checked_against: ice point}\n"
        "clutches: [{species: eublepharis-macularius, wanted: females}]"
    ),
    bad="control: {set_to: 27 °C}\nclutches: [{species: eublepharis-macularius, wanted: males}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Nothing to steer with chromosomes; otherwise the forecast share of males, and a better set point.

    Where the plan does not tell the thermostat's check or the spread between boxes, the best and the worst case must
    agree that the wish is missed.
    """
    wanted, species, set_to = case.clutch.wanted, case.species, case.plan.control.set_to
    assert wanted is not None
    if wanted == "any":
        return
    if species.sex.set_by is None:
        yield NotJudged(("species.sex.set_by",))
        return
    if species.sex.set_by != "temperature":
        if wanted != "both":
            yield _set_by_chromosomes(species, wanted)
        return
    if set_to is None:
        yield NotJudged(("control.set_to",))
        return
    forecast = case.clutch_forecast.male_share
    if isinstance(forecast, Unknown):
        yield NotJudged(("species.sex.observed",))
        return
    control, warmth = case.plan.control, case.clutch_forecast.warmth
    settings = possible_settings(control, warmth)
    severities = [_severity(share_at(set_to, how, species, way), wanted) for how, way in settings]
    missed = [severity for severity in severities if severity is not None]
    if not missed:
        return
    if len(missed) < len(severities):
        yield NotJudged(untold(control, warmth))
        return
    mildest = max(missed, key=SEVERITIES.index)
    severity, remedy = _with_remedy(
        case, forecast, best_set_point(species, wanted, (control, settings[0][1])), settings[0][1], mildest
    )
    wish = "both sexes" if wanted == "both" else wanted
    expected = _told(case, forecast.value, forecast.low, forecast.high)
    yield Finding(
        severity,
        f"You want {wish}; at {case.show.temperature(set_to)} expect {expected}.",
        "control.set_to",
        remedy,
        figures=(("male_share", forecast),),
        sources=tuple(dict.fromkeys(key for point in species.sex.observed for key in point.support.sources)),
    )


def _set_by_chromosomes(species: Species, wanted: str) -> Finding:
    support, where = species.sex.support, " at any temperature"
    if species.sex.reversal is not None:
        where = f", unless heat changes some of them into {species.sex.reversal.toward}"
    return Finding(
        NOTE,
        f"You want {wanted}, but chromosomes set the sex of {species.name}: expect about half males{where}.",
        "clutch.wanted",
        "Choose the temperature that is best for the eggs, and count on both sexes.",
        sources=support.sources if support else (),
        evidence=support.known if support else "",
    )


def _severity(share: MaleShare | NoData, wanted: str) -> str | None:
    """None when the wish is met; worse when the whole likely range misses it: no mix of sexes, or the other sex."""
    assert not isinstance(share, NoData)  # the forecast has a share, and data do not depend on the setting
    if wanted == "both":
        if BOTH[0] <= share.share <= BOTH[1]:
            return None
        return FIX if share.high < BOTH[0] or share.low > BOTH[1] else WATCH
    if _wanted_share(share.share, wanted) >= ENOUGH:
        return None
    most = max(_wanted_share(share.low, wanted), _wanted_share(share.high, wanted))
    return FIX if most < 0.5 else WATCH


def _wanted_share(male_share: float, wanted: str) -> float:
    return male_share if wanted == "males" else 1 - male_share


def _with_remedy(
    case: Case, here: Figure, best: SetPoint | None, way: Figure, severity: str
) -> tuple[str, str]:
    """The severity and the remedy: the set point nearest to the wish, and what the thermostat's error does there."""
    wanted = case.clutch.wanted
    assert wanted is not None
    if best is None:
        return severity, RULE.remedy
    gain = abs(here.value - WANTED_SHARE[wanted]) - abs(best.male_share.share - WANTED_SHARE[wanted])
    if gain < NO_BETTER:
        return NOTE, "Count on this mix: no tolerated temperature that was tried comes clearly closer."
    show, error = case.show, TWO_SIGMA * thermostat_error(case.plan.control)
    there = _told(case, best.male_share.share, best.male_share.low, best.male_share.high)
    remedy = f"Set the thermostat to {show.temperature(best.temperature)}: expect {there} there."
    at = best.temperature + way.value
    ends = shares_between(case.species, at - error, at + error)
    if ends is not None and ends[1] - ends[0] >= TOLD_EFFECT:
        remedy += f" A thermostat that is {show.step(error)} off can make it {_to_fives(show, *ends)} males."
        if case.plan.control.checked_against in (None, "nothing"):
            remedy += " Check it in ice and water: that halves its error."
    return severity, remedy


def _told(case: Case, share: float, low: float, high: float) -> str:
    if high - low < WIDE:
        return f"about {case.show.percent(share)} males ({case.show.percent_range(low, high)})"
    return f"about {case.show.percent(round(share * 20) / 20)} males ({_to_fives(case.show, low, high)})"


def _to_fives(show: Show, low: float, high: float) -> str:
    """A range of shares, outward to the next five percent: it is not known finer."""
    return show.percent_range(math.floor(low * 20 + HAIR) / 20, math.ceil(high * 20 - HAIR) / 20)
