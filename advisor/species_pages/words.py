"""What a profile says in words, for its page and the comparison."""

from advisor.model.figures import Result, Unknown
from advisor.model.plan import Mix, Range
from advisor.model.species import CoolPeriod, Eggs, Pause, Species, SpeciesMedium, Support
from advisor.show import Show

NOT_KNOWN = "not known"
NO_STUDY = ("practice", "judgement")  # bibliography keys that stand for no study
CLIMATE = {
    "temperate": "judged as for a temperate climate, where nests meet cold nights",
    "tropical": "judged as for a tropical climate, where nests stay warm",
    None: f"judged as for a tropical climate, which allows fewer hours: the climate is {NOT_KNOWN}",
}
NEEDED_BY = {"all": "needed", "some": "needed in some populations", "none": "given on purpose, not needed"}


def harmful_words(species: Species, show: Show) -> str:
    """What temperatures harm, on either side."""
    harmful = species.harmful
    if harmful is None:
        return NOT_KNOWN
    limits = (("below", harmful.below), ("above", harmful.above))
    return ", ".join(
        f"{word} {show.temperature(limit)}"
        if limit is not None
        else f"{word} what temperature is {NOT_KNOWN}"
        for word, limit in limits
    )


def sex_words(species: Species) -> str:
    """What sets the sex, and how."""
    sex = species.sex
    pattern = {
        "cool males": "cool eggs give males, warm eggs females",
        "cool females": "cool eggs give females, warm eggs males",
        "males between": "males in between, females from cool and from hot eggs",
        "females between": "females in between, males from cool and from hot eggs",
    }.get(sex.pattern or "", "")
    words = {
        "chromosomes": "chromosomes set the sex: about half of each at any temperature",
        "temperature": "the temperature of the eggs sets the sex",
        "chromosomes, overridden by heat": "chromosomes set the sex until heat overrides them",
        None: "it is not known what sets the sex",
    }[sex.set_by]
    return f"{words}: {pattern}" if pattern and sex.set_by == "temperature" else words


def pause_words(pause: Pause, show: Show) -> str:
    """How long the embryo rests first, and what ends it."""
    return f"{show.days_range(pause.days.low, pause.days.high)}, ended by {pause.ended_by}"


def cool_words(cool: CoolPeriod, show: Show) -> str:
    """The cool period: how long, how cool, when, whose eggs need it."""
    at = show.temperature_range(cool.at.low, cool.at.high)
    return (
        f"{show.days_range(cool.days.low, cool.days.high)} at {at}, {cool.when}: {NEEDED_BY[cool.needed_by]}"
    )


def whole_range(counts: Range) -> str:
    """Counts in words: one number where both ends are the same."""
    low, high = f"{counts.low:.0f}", f"{counts.high:.0f}"
    return low if low == high else f"{low} to {high}"


def egg_words(eggs: Eggs, show: Show) -> str:
    """The eggs on one line."""
    told = [
        f"{whole_range(eggs.clutch)} in a clutch" if eggs.clutch else "",
        show.mass_range(eggs.mass.low, eggs.mass.high) + " each" if eggs.mass else "",
        f"{show.length_range(eggs.length.low, eggs.length.high)} long" if eggs.length else "",
        f"shell: {eggs.shell or NOT_KNOWN}",
        "they cling to each other" if eggs.cling else "",
        "glued to a surface" if eggs.glued_to_surface else "",
    ]
    return "; ".join(part for part in told if part)


def medium_words(medium: SpeciesMedium, show: Show) -> str:
    """What the eggs lie in, on one line."""
    told = [mix_words(used.mix) for used in medium.mixes]
    if medium.water:
        told.append(f"{show.water_content_range(medium.water.low, medium.water.high)} of water in dry medium")
    told += [f"top-ups: {medium.top_up or NOT_KNOWN}"]
    return "; ".join(told)


def mix_words(mix: Mix) -> str:
    """Parts of dry medium and water."""
    return f"{mix.medium:g} medium to {mix.water:g} water by {mix.by}"


def known_words(support: Support | None) -> str:
    """ "published: viets-1993": how a figure is known and from where."""
    if support is None:
        return ""
    cited = [key for key in support.sources if key not in NO_STUDY]
    return support.known + (f": {', '.join(cited)}" if cited else "")


def share_words(found: Result, show: Show) -> str:
    """An expected share of males, or why there is none."""
    if isinstance(found, Unknown):
        return _why_not(found)
    return f"{show.percent(found.value)} ({show.percent_range(found.low, found.high)})"


def days_words(found: Result, show: Show) -> str:
    """Expected days, or why there are none."""
    if isinstance(found, Unknown):
        return _why_not(found)
    return f"{show.days(found.value)} ({show.days_range(found.low, found.high)})"


def _why_not(found: Unknown) -> str:
    return "no data there" if found.reason.startswith("no data") else NOT_KNOWN
