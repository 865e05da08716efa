"""The sexes to expect at the set point against the sexes that are wanted."""

import math
from collections.abc import Iterator

from advisor.forecast.clutch.days_and_sexes import share_at
from advisor.forecast.clutch.evidence import unlike_half
from advisor.forecast.clutch.sex_steering import (
    BOTH,
    ENOUGH,
    WANTED_SHARE,
    best_set_point,
    entries_missing,
    meets,
    possible_settings,
    wanted_share,
)
from advisor.formulas.numerics.no_data import NoData
from advisor.formulas.sexes.male_share import MaleShare, SetPoint
from advisor.model.figures import Figure, Unknown
from advisor.model.findings import FIX, NOTE, SEVERITIES, WATCH, Finding
from advisor.model.species import Species
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import at_that, needs_of, temperature_for_sexes
from advisor.show import Show

ONE_SEX = (0.05, 0.95)  # share of males [0-1] outside which a clutch of a few eggs is of one sex; judgement
NO_BETTER = 0.05  # gain in share [0-1] below which another set point is not worth naming; judgement
WIDE = 0.3  # a range of shares [0-1] as wide as this is told in steps of five percent; judgement
ROUNDING = 1e-9  # so that a whole step is not rounded outward
NEAREST = (
    "Count on a mix even so: no set point in the usual band of the species gives enough of what you want."
)
NO_WAY = "Count on this mix: no set point in the usual band of the species comes clearly closer."

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
    levers=("control.set_to",),
    good=(
        "control: {set_to: 27 °C, checked_against: ice point}\n"
        "clutches: [{species: eublepharis-macularius, wanted: females}]"
    ),
    bad="control: {set_to: 27 °C}\nclutches: [{species: eublepharis-macularius, wanted: males}]",
)


def check(case: Case) -> Iterator[Finding]:
    """Nothing to steer with chromosomes; otherwise the forecast share of males, and a better set point.

    Where the plan does not tell the thermostat's check or the spread between boxes, the best and the worst case must
    agree that the wish is missed.
    """
    wanted, species, set_to = case.clutch.wanted, case.species, case.plan.control.set_to
    if wanted is None and species.sex.set_by in (None, "temperature"):
        raise Lacking("clutch.wanted")
    if wanted in (None, "any"):
        return
    if species.sex.set_by is None:
        raise Lacking("species.sex.set_by")
    if species.sex.set_by != "temperature":
        if wanted != "both":
            yield _set_by_chromosomes(species, wanted)
        return
    if set_to is None:
        raise Lacking("control.set_to")
    forecast = case.clutch_forecast.male_share
    at = temperature_for_sexes(case)
    if isinstance(forecast, Unknown) or at is None:
        raise Lacking(*needs_of(forecast, "species.sex.observed"))
    control, warmth = case.plan.control, case.clutch_forecast.warmth
    settings = possible_settings(control, warmth)
    severities = [_severity(share_at(at, how, species, way), wanted) for how, way in settings]
    missed = [severity for severity in severities if severity is not None]
    if not missed:
        return
    if len(missed) < len(severities):
        raise Lacking(*entries_missing(control, warmth))
    mildest = FIX if _of_the_other(forecast.value, wanted) else max(missed, key=SEVERITIES.index)
    setting = (control, settings[0][1])
    best = best_set_point(species, wanted, setting, case.show.settable)
    besides = _besides(best, forecast, wanted)
    wish = "both sexes" if wanted == "both" else wanted
    expected = _told(case, forecast.value, forecast.low, forecast.high)
    yield Finding(
        NOTE if besides == NO_WAY else mildest,
        f"You want {wish}; {at_that(case, at)} expect {expected}.",
        "control.set_to",
        besides,
        figures=(("male_share", forecast),),
        sources=tuple(dict.fromkeys(key for point in species.sex.observed for key in point.support.sources)),
    )


def _set_by_chromosomes(species: Species, wanted: str) -> Finding:
    support, where, counted = species.sex.support, " at any temperature", ""
    if species.sex.reversal is not None:
        where = f", unless heat changes some of them into {species.sex.reversal.toward}"
    odd = unlike_half(species)
    if odd is not None:
        counted = (
            f" Yet of {odd.eggs} young counted {odd.males} were males, which chance hardly explains: why is not known, "
            f"and yours may come out like that."
        )
    return Finding(
        NOTE,
        f"You want {wanted}, but chromosomes set the sex of {species.name}: expect about half males{where}.{counted}",
        "clutch.wanted",
        "Choose the temperature that is best for the eggs, and count on both sexes.",
        support=support,
    )


def _severity(share: MaleShare | NoData, wanted: str) -> str | None:
    """None when the wish is met; worse when the other sex is what will hatch, or the whole likely range misses the wish."""
    assert not isinstance(share, NoData)  # the forecast has a share, and data do not depend on the setting
    if meets(share, wanted):
        return None
    if _of_the_other(share.share, wanted):
        return FIX
    if wanted == "both":
        return FIX if share.high < BOTH[0] or share.low > BOTH[1] else WATCH
    most = max(wanted_share(share.low, wanted), wanted_share(share.high, wanted))
    return FIX if most < 0.5 else WATCH


def _of_the_other(share: float, wanted: str) -> bool:
    """Whether a typical share of males gives what the opposite wish would call enough, or one sex alone for both."""
    if wanted == "both":
        return not ONE_SEX[0] <= share <= ONE_SEX[1]
    return 1 - wanted_share(share, wanted) > ENOUGH


def _besides(best: SetPoint | None, here: Figure, wanted: str) -> str:
    """What is to be known beside a set point: that none in the usual band gives the wish, or even comes clearly closer."""
    if best is None or meets(best.male_share, wanted):
        return ""
    gain = abs(here.value - WANTED_SHARE[wanted]) - abs(best.male_share.share - WANTED_SHARE[wanted])
    return NEAREST if gain >= NO_BETTER else NO_WAY


def _told(case: Case, share: float, low: float, high: float) -> str:
    if high - low < WIDE:
        return f"about {case.show.percent(share)} males ({case.show.percent_range(low, high)})"
    return f"about {case.show.percent(round(share * 20) / 20)} males ({_to_fives(case.show, low, high)})"


def _to_fives(show: Show, low: float, high: float) -> str:
    """A range of shares, outward to the next five percent: it is not known finer."""
    return show.percent_range(math.floor(low * 20 + ROUNDING) / 20, math.ceil(high * 20 - ROUNDING) / 20)
