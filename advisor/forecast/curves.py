"""Curves that the papers draw: share of males by temperature, beside the counts of the profile."""

from advisor.eggs.no_data import NoData
from advisor.eggs.sex import male_share_at
from advisor.forecast.evidence import share_model, steady
from advisor.model.figures import Unknown
from advisor.model.papers import ObservedShare, ShareCurve, SharePoint
from advisor.model.species import Species

STEP = 0.2  # K between two points of a drawn curve: under a millimetre on paper; judgement
BEYOND = 0.5  # K past the outermost counts, as far as `male_share_at` gives a share


def share_curve(species: Species) -> ShareCurve | Unknown:
    """The share of males of a species over the temperatures with data, or why there is nothing to draw."""
    if species.sex.set_by is None:
        return Unknown(f"It is not known what sets the sex of {species.name}.")
    if species.sex.set_by == "chromosomes":
        return Unknown(f"Temperature does not set the sex of {species.name}: about half will be males.")
    observed = tuple(
        ObservedShare(point.at.middle, point.value.middle, point.eggs)
        for point in sorted(steady(species.sex.observed), key=lambda point: point.at.middle)
    )
    if not observed:
        return Unknown(f"Nobody has counted the sexes of {species.name} at a steady temperature.")
    model = share_model(species)
    low, high = observed[0].temperature - BEYOND, observed[-1].temperature + BEYOND
    steps = max(round((high - low) / STEP), 1)
    points = []
    for number in range(steps + 1):
        temperature = low + (high - low) * number / steps
        found = male_share_at(model, temperature)
        if not isinstance(found, NoData):
            points.append(SharePoint(temperature, found.share, found.low, found.high))
    return ShareCurve(species.name, tuple(points), observed)
