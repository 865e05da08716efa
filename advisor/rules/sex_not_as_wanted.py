"""The sexes to expect at the set point against the sexes that are wanted."""

from collections.abc import Iterator
from typing import cast

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import MaleShare, SetPoint, male_share_at, set_point_for_share
from advisor.eggs.sex_choice import Basis, Pattern, ShareModel, fit_male_share
from advisor.eggs.sex_counts import SexPoint
from advisor.model.findings import FIX, NOTE, WATCH, Finding, NotJudged
from advisor.model.species import Sex, Species
from advisor.rules.engine import CLUTCH, Case, Rule

ENOUGH = 0.7  # share of the wanted sex [0-1] that counts as what was wanted; judgement
BOTH = (0.2, 0.8)  # share of males [0-1] within which both sexes will hatch; judgement
NO_BETTER = 0.05  # gain in share [0-1] below which another set point is not worth naming; judgement
WIDE = 2.0  # K; a count over a wider range of temperatures says nothing about one of them; judgement
UNREAD: Basis = "gap too wide to read across"
AIMS = {"females": 0.0, "males": 1.0, "both": 0.5}  # share of males that is aimed at [0-1]

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
    good="control: {set_to: 28 °C}\nclutches: [{species: eublepharis-macularius, wanted: females}]",
    bad="control: {set_to: 28 °C}\nclutches: [{species: eublepharis-macularius, wanted: males}]",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """Nothing to steer with chromosomes; otherwise the share of males at the set point, and a better set point."""
    wanted, species, set_to, show = case.clutch.wanted, case.species, case.plan.control.set_to, case.show
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
    model = _model(species.sex)
    here = male_share_at(model, set_to)
    if isinstance(here, NoData) or here.basis == UNREAD:
        yield NotJudged(("species.sex.observed",))
        return
    if _is_as_wanted(here.share, wanted):
        return
    severity, remedy = FIX if _is_far_off(here, wanted) else WATCH, RULE.remedy
    best = _best_set_point(model, species, wanted, set_to)
    if best is not None and _gain(here, best.male_share, wanted) < NO_BETTER:
        severity = NOTE
        remedy = "Count on this mix: no tolerated temperature that was tried comes clearly closer."
    elif best is not None:
        there = _told(case, best.male_share)
        remedy = f"Set the thermostat to {show.temperature(best.temperature)}: expect {there} there."
    yield Finding(
        severity,
        f"You want {'both sexes' if wanted == 'both' else wanted}; at {show.temperature(set_to)} expect {_told(case, here)}.",
        "control.set_to",
        remedy,
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


def _model(sex: Sex) -> ShareModel:
    points = tuple(
        SexPoint(point.at.middle, point.value.middle, point.eggs, " ".join(point.support.sources))
        for point in sex.observed
        if not point.swing and point.at.high - point.at.low <= WIDE
    )
    return fit_male_share(points, "temperature", cast(Pattern | None, sex.pattern))


def _wanted_share(male_share: float, wanted: str) -> float:
    return male_share if wanted == "males" else 1 - male_share


def _is_as_wanted(male_share: float, wanted: str) -> bool:
    if wanted == "both":
        return BOTH[0] <= male_share <= BOTH[1]
    return _wanted_share(male_share, wanted) >= ENOUGH


def _is_far_off(share: MaleShare, wanted: str) -> bool:
    """Whether the whole likely range misses what is wanted: no mix of sexes, or mostly the other sex."""
    if wanted == "both":
        return share.high < BOTH[0] or share.low > BOTH[1]
    return max(_wanted_share(share.low, wanted), _wanted_share(share.high, wanted)) < 0.5


def _best_set_point(model: ShareModel, species: Species, wanted: str, set_to: float) -> SetPoint | None:
    """The set point nearest to the planned one among those that the species tolerates and that come closest."""
    band = species.tolerated or species.aim
    if band is None:
        return None
    best = set_point_for_share(model, AIMS[wanted], band.low, band.high, prefer=set_to)
    return None if isinstance(best, NoData) else best


def _gain(here: MaleShare, there: MaleShare, wanted: str) -> float:
    return abs(here.share - AIMS[wanted]) - abs(there.share - AIMS[wanted])


def _told(case: Case, share: MaleShare) -> str:
    return f"about {case.show.percent(share.share)} males ({case.show.percent_range(share.low, share.high)})"
