"""What the rules on hot and on cold eggs share: the worst that the log tells of one side."""

from collections.abc import Iterator

from advisor.forecast.heat.egg_limits import limit_support
from advisor.model.figures import Unknown
from advisor.model.findings import FIX, NOTE, STOP, WATCH, Finding, NotJudged
from advisor.model.follow import HARM_WORDS, LIKELY, NEAR, POSSIBLE, Outside, Spell
from advisor.model.logs import clock_time
from advisor.model.species import Band
from advisor.rules.engine import Case

MANY_HOURS = 24.0 * 60.0  # minutes outside what is tolerated that are told afterwards; judgement
OFTEN = 0.1  # share of the logged time outside the usual band; judgement
SEVERITY = {LIKELY: STOP, POSSIBLE: FIX, NEAR: WATCH}


def judged_side(case: Case, side: str, now: str, keep: str) -> Iterator[Finding | NotJudged]:
    """The gravest on one side, "hot" or "cold": hours past what weeks would harm, outside what is tolerated, outside the usual.

    now: what to do while it lasts; keep: what to do with the eggs after harm.
    """
    followed, species = case.clutch_followed, case.species
    assert not isinstance(followed.spells, Unknown)
    bad = [spell for spell in followed.spells if spell.side == side and spell.harm]
    if bad:
        worst = min(bad, key=lambda spell: (STOP, FIX, WATCH).index(SEVERITY[spell.harm]))
        support = limit_support(species, side == "hot")
        yield Finding(SEVERITY[worst.harm], _spell_words(case, worst), "control.set_to", f"{now} {keep}",
                      sources=support.sources if support else ())  # fmt: skip
        return
    for name, band in (("tolerated", species.tolerated), ("aim", species.aim)):
        outside = getattr(followed, name)
        if band is None or isinstance(outside, Unknown):
            if name == "tolerated":
                yield NotJudged(outside.needs)
            continue
        severity = _severity(outside, side, name)
        if severity is not None:
            yield Finding(severity, _band_words(case, outside, band, side, name), "control.set_to", now,
                          sources=band.support.sources)  # fmt: skip
            return


def _severity(outside: Outside, side: str, name: str) -> str | None:
    minutes = outside.above if side == "hot" else outside.below
    still = outside.now and minutes > 0.0
    if name == "tolerated":
        return FIX if still else WATCH if minutes >= MANY_HOURS else None
    often = minutes >= OFTEN * outside.logged
    return WATCH if still and often else NOTE if often else None


def _spell_words(case: Case, spell: Spell) -> str:
    show, name = case.show, case.species.name
    past = "above what they bear for weeks" if spell.side == "hot" else "below what they bear for weeks"
    each = " on many days" if spell.daily else ""
    end = "up to" if spell.side == "hot" else "down to"
    return (
        f"Eggs of {name} were {past} for {show.hours(spell.hours * 3600)}{each}, from {clock_time(spell.begin)} to "
        f"{clock_time(spell.end)}, {end} {show.temperature(spell.extreme)}: {HARM_WORDS[spell.harm]}."
    )


def _band_words(case: Case, outside: Outside, band: Band, side: str, name: str) -> str:
    minutes, limit = (outside.above, band.high) if side == "hot" else (outside.below, band.low)
    words = "what is tolerated" if name == "tolerated" else "the usual band"
    now = ", and is still outside" if outside.now else ""
    return (
        f"The medium was {'above' if side == 'hot' else 'below'} {words} of {case.species.name} "
        f"({case.show.temperature(limit)}) for {case.show.hours(minutes * 60)}{now}."
    )
