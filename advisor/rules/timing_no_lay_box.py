"""The lay box stands ready well before the laying."""

from collections.abc import Iterator

from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import CLUTCH, Case, Lacking, Rule
from advisor.rules.shared import PASSED

WELL_BEFORE = 7  # days; keepers say "well before" without a number, so a week is our judgement

RULE = Rule(
    id="timing-no-lay-box",
    title="The lay box is missing or comes too late",
    explanation=(
        "A female looks for a damp, hidden place some days before she lays. Without one she may hold her eggs back, which "
        "can kill her, or drop them in a dry corner. Eggs on dry ground lose water and dent within about a day."
    ),
    remedy="Put a lay box with damp medium and moss in place a week or more before the first likely laying day.",
    sources=("practice", "judgement"),
    about=CLUTCH,
    implied_by=("timing-not-ready-before-laying",),
    levers=("clutch.lay_box",),
    good=(
        "clutches: [{species: pantherophis-guttatus, laying: {expected: 2027-05-09 to 2027-05-16}, "
        "lay_box: {ready_on: 2027-04-25}}]"
    ),
    bad=(
        "clutches: [{species: pantherophis-guttatus, laying: {expected: 2027-05-09 to 2027-05-16}, "
        "lay_box: {ready_on: 2027-05-12}}]"
    ),
)


def check(case: Case) -> Iterator[Finding]:
    """None, too late when it comes after the first likely laying day, tight when it comes less than a week before."""
    laying, window, ready_on = (
        case.clutch.laying,
        case.clutch_forecast.laying_window,
        case.clutch.lay_box.ready_on,
    )
    if laying.laid_on is not None or case.clutch.nth:  # she knows it by then
        return
    if not case.clutch.lay_box.planned:
        yield from _none_planned(case)
        return
    if window is None or ready_on is None:
        needs = ("clutch.laying.expected",) if window is None else ()
        raise Lacking(*((*needs, "clutch.lay_box.ready_on") if ready_on is None else needs))
    gap = (window[0] - ready_on).days
    if gap >= WELL_BEFORE:
        return
    support = case.species.laying.support if laying.expected is None and case.species.laying else None
    when = (
        f"{case.show.days(gap)} before" if gap > 0 else "on" if gap == 0 else f"{case.show.days(-gap)} after"
    )
    yield Finding(
        FIX if gap < 0 else WATCH,
        f"The lay box is ready on {ready_on}, {when} the first likely laying day, {window[0]}.",
        "clutch.lay_box.ready_on",
        PASSED,
        support=support,
        subject=f"lay box of {case.subject}",
    )


def _none_planned(case: Case) -> Iterator[Finding]:
    """Species that glue their eggs to a surface lay on wood, bark or glass, and need no damp ground."""
    if not case.species.eggs.glued_to_surface:
        yield Finding(
            FIX,
            "The plan has no lay box.",
            "clutch.lay_box",
            PASSED if case.clutch_forecast.laying_window else RULE.remedy,
            subject=f"lay box of {case.subject}",
        )
