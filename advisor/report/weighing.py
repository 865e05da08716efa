"""The answer of `advisor weigh`: where the water went, how leaky the lid is, what to add, what the forecast says now."""

from collections.abc import Iterator

from advisor.model.figures import Figure, Result, Unknown
from advisor.model.water_answers import WeighingAnswer
from advisor.report.json_report import results, top_up_data
from advisor.report.screen import WIDTH, Line, row, wrapped
from advisor.show import Show
from advisor.units import number

NAME_WIDTH = 20
LEAKY, TIGHT = 1.5, 0.67  # factors on the forecast's loss that are worth a word; judgement
SMALL = 0.0005  # kg, below the step of a kitchen scale; judgement


def weighing_lines(
    answer: WeighingAnswer, show: Show, width: int = WIDTH, name: str = "", options: bool = True
) -> Iterator[Line]:
    """The answer as lines for the screen.

    name of the box among several of its kind; options: whether to name those of `advisor weigh`.
    """
    yield Line(f"Egg box '{name or answer.box}' on day {answer.weighed.day}", "head")
    yield Line("")
    rows = [
        ("On the scale", _scale(answer, show)),
        ("Through lid, vents", f"{_about(show, answer.lost)} of water left the box"),
        ("Into the eggs", _eggs(answer, show)),
        (
            "In the medium",
            f"{_about(show, answer.content)} now; {show.water_content(answer.content_at_start)} at the start",
        ),
        ("Leak", _leak(answer)),
    ]
    for name, value in rows:
        yield from row(name, value, NAME_WIDTH, width)
    yield Line("")
    for text in _to_do(answer, show, options):
        yield from wrapped(f"Do: {text}", width, "", 4)
    yield Line("")
    yield Line("The forecast", "head")
    for name, before, now in (
        ("Lasts until day", answer.before.lasts_until_day, answer.lasts),
        ("At hatching", answer.before.water_at_hatching, answer.end),
    ):
        text = f"{_result(show, now)} without more water; before this weighing {_result(show, before)}"
        yield from row(name, text, NAME_WIDTH, width)
    told = [
        f"{show.mass(round(top_up.water, 3))} on day {top_up.day}"
        + (f" ({top_up.date})" if top_up.date else "")
        for top_up in answer.top_ups
        if top_up.day > answer.weighed.day
    ]
    yield from row("Next top-ups", ", ".join(told) or "none needed before hatching", NAME_WIDTH, width)
    if answer.content.matters_most:
        yield Line("")
        yield from wrapped(f"What matters most is {answer.content.matters_most}.", width, "quiet", 0)


def weighing_data(answer: WeighingAnswer) -> dict[str, object]:
    """The answer as plain data for JSON."""
    return {
        "format": 1,
        "box": answer.box,
        "day": answer.weighed.day,
        "added": round((answer.weighed.added or 0.0) * 1000, 1),
        "added_as_planned": answer.added_as_planned,
        **results(
            {
                "lighter": answer.lighter,
                "lost": answer.lost,
                "drunk": answer.drunk,
                "leak_factor": answer.leak,
                "water_content": answer.content,
                "add_now": answer.add_now,
                "lasts_until_day": answer.lasts,
                "lasts_until_day_before": answer.before.lasts_until_day,
                "water_at_hatching": answer.end,
                "water_at_hatching_before": answer.before.water_at_hatching,
            }
        ),
        "top_ups": top_up_data(answer.top_ups),
    }


def _scale(answer: WeighingAnswer, show: Show) -> str:
    change = answer.lighter.value
    than = "the plan gives for laying day"
    if answer.weighed.start_mass is not None or answer.weighed.earlier:
        than = (
            "on laying day"
            if answer.weighed.start_mass is not None
            else f"on day {answer.weighed.earlier[0][0]}"
        )
    if abs(change) < SMALL:
        return f"as heavy as {than}"
    added = f", with the {show.mass(answer.weighed.added)} added since" if answer.weighed.added else ""
    if added and answer.added_as_planned:
        added += ", as the plan tops up (say --added when it was another amount)"
    return f"{_about_mass(show, answer.lighter)} {'lighter' if change > 0 else 'heavier'} than {than}{added}"


def _eggs(answer: WeighingAnswer, show: Show) -> str:
    how = "by their own weight" if answer.weighed.egg_mass is not None else "as such eggs usually do"
    if answer.drunk.value > SMALL:
        return (
            f"{_about(show, answer.drunk)}, {how}. Eggs take water from the medium and keep it in the box, so the scale does "
            "not show it"
        )
    if answer.rigid:
        return f"none: rigid eggs take up next to no water. They gave off {_about_mass(show, answer.drunk)}, {how}"
    if answer.drunk.value < -SMALL:
        return f"none: they gave off {_about_mass(show, answer.drunk)}, {how}"
    return f"next to nothing, {how}"


def _leak(answer: WeighingAnswer) -> str:
    leak = answer.leak
    value, low, high = (number(end, 2) for end in (leak.value, leak.low, leak.high))
    spread = f" ({low} to {high})" if low != high else ""
    return f"about {value} times the loss that the forecast expects{spread}"


def _to_do(answer: WeighingAnswer, show: Show, options: bool) -> Iterator[str]:
    add = answer.add_now
    if add.value > 0:
        water = show.mass(round(add.value, 3))
        yield (
            f"Add {water} of water to this box now, at the edge and never on the eggs. Use water that stood in the outer box "
            f"until it was as warm. The whole box then weighs {show.mass(answer.weighed.mass + add.value)}."
        )
    else:
        yield "Add nothing now."
    if answer.leak.low > LEAKY:
        yield "Look at the lid: is it shut all round, with nothing under the rim? It loses far more than such lids usually do."
    elif answer.leak.high < TIGHT:
        yield "Look at the holes: do drops or dirt close them? What lets out so little water lets in little air too."
    if answer.weighed.start_mass is None:
        option = " (--start-mass)" if options else ""
        yield f"Weigh the box on laying day next time{option}: then its filling does not blur the loss."
    if answer.weighed.egg_mass is None and not answer.rigid:
        option = " (--egg-mass-now)" if options else " (egg_mass)"
        yield f"Weigh two or three marked eggs{option}, if they lift freely: then their share is known."


def _about(show: Show, figure: Figure) -> str:
    """The figure with its range; water contents no finer than a hundredth."""
    ends = (figure.value, figure.low, figure.high)
    if figure.quantity == "water content":
        return show.about(figure.quantity, *(round(end, 2) for end in ends))
    return show.about(figure.quantity, *ends)


def _about_mass(show: Show, figure: Figure) -> str:
    """A mass that may stand below zero, told without its sign."""
    low, high = sorted((abs(figure.low), abs(figure.high)))
    if figure.low < 0 < figure.high:
        low = 0.0
    return show.about("mass", abs(figure.value), low, high)


def _result(show: Show, result: Result) -> str:
    return f"not known: {result.reason}" if isinstance(result, Unknown) else _about(show, result)
