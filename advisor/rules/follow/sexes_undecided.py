"""Sexes that the log cannot tell, since the choice of the mean decides."""

from collections.abc import Iterator

from advisor.model.figures import Unknown
from advisor.model.findings import WATCH, Finding, NotJudged
from advisor.rules.engine import CLUTCH, Case, Rule

RULE = Rule(
    id="follow-sexes-undecided",
    title="The sexes cannot be told from these temperatures",
    explanation=(
        "With warm days and cool nights the eggs are past the turning point by day and short of it by night. What counts is "
        "disputed: the mean, the temperature at which half the development is done, or each hour by its part of the "
        "development. Where these give males by one and females by another, nobody can tell."
    ),
    remedy="For sexes that can be told keep the temperature steady in the sensitive time, and the sensor in the medium.",
    sources=("judgement",),
    about=CLUTCH,
    good="log: {male_share: 0.9 to 1.0}",
    bad="log: {undecided: 0.02 to 0.96}",
)


def check(case: Case) -> Iterator[Finding | NotJudged]:
    """The range of the means where it is too wide."""
    followed = case.clutch_followed
    if followed.undecided is not None:
        figure = followed.undecided
        settled = "The sensitive time is over: this stays so. " if followed.settled else ""
        yield Finding(
            WATCH,
            f"Sexes of {case.species.name}: cannot be told. By one mean of the temperatures "
            f"{case.show.percent(figure.low)} males, by another {case.show.percent(figure.high)}.",
            "clutch.species",
            f"{settled}{RULE.remedy}",
            figures=(("male_share", figure),),
        )
    elif isinstance(followed.male_share, Unknown):
        yield NotJudged(followed.male_share.needs or (followed.male_share.reason,))
