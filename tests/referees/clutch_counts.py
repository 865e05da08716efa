"""How many males a prediction makes likely among some eggs: scipy's beta-binomial distribution, as the referee of ranges."""

from scipy import stats

from advisor.formulas.sexes.male_share import MaleShare


def males_in_clutch(prediction: MaleShare, eggs: int) -> tuple[int, int]:
    """The ends of the range of counts that holds at least 95 %."""
    low, high = stats.betabinom(eggs, prediction.a, prediction.b).ppf((0.025, 0.975))
    return int(low), int(high)
