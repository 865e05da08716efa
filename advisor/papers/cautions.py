"""The cautions that stand on every paper: electricity and fire, infection, animals, law."""

from msgspec import Struct

from advisor.show import Show


class CautionText(Struct, frozen=True):
    """A heading and its sentences."""

    name: str
    sentences: tuple[str, ...]


CAUTIONS = (
    CautionText(
        "Electricity and fire",
        (
            "Mains, water and animals together can kill.",
            "Use a residual-current device (RCD, GFCI or RCBO) of at most 30 mA in the supply.",
            "Never chain extension leads.",
            "Never alter anything that runs on mains.",
            "Foam burns and drips. Keep its surfaces at 60 °C (140 °F) or below even at full power. No bulb in a foam box.",
            "A home-made box does not meet the appliance standards IEC 60335-1 and IEC 60335-2-71 by itself.",
            "Your local electrical code and a licensed electrician have the last word.",
        ),
    ),
    CautionText(
        "Infection",
        (
            "Reptiles, their eggs, the medium and the boxes may carry Salmonella.",
            "Wash your hands with soap after handling. Keep boxes and bowls out of kitchens and food sinks.",
            "Children under five, pregnant women, old people and people with weak immunity stay away from them.",
            "Wet dry medium before you stir it, and do not breathe its dust.",
        ),
    ),
    CautionText(
        "Animals",
        (
            "Venomous or large constricting animals are for trained people with a second person and a plan for bites.",
        ),
    ),
    CautionText(
        "Law",
        (
            "Keeping, breeding and trade may need a permit or a registration. Some species are banned in some places.",
            "Ask your wildlife authority before you breed.",
        ),
    ),
)


def cautions(show: Show) -> tuple[CautionText, ...]:
    """The cautions in the keeper's units."""
    return tuple(
        CautionText(one.name, tuple(show.own_units(sentence) for sentence in one.sentences))
        for one in CAUTIONS
    )
