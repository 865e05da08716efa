"""Whether the trial run saw the room as cold and as warm as the season will."""

from collections.abc import Iterator

from advisor.model.figures import Figure
from advisor.model.findings import FIX, WATCH, Finding
from advisor.rules.engine import PLAN, Case, Rule

NEAR = 2.0  # K to which the room of the trial comes near enough to that of the plan; judgement
FULL = 0.95  # share of the time past which a heater has no reserve; judgement

RULE = Rule(
    id="trial-room-not-covered",
    title="The trial run has not seen the room of the season",
    explanation=(
        "The plan says how cold and how warm the room gets. The trial tells only of the room that it had. On a colder "
        "night the heater may not keep up, and on a warmer day the box may have no way to get rid of heat. From how long "
        "the heater was on, what a colder room asks for can be told ahead."
    ),
    remedy="Run the trial on a cold night and a warm day too, or let the room get as cold as the plan says.",
    sources=("judgement",),
    about=PLAN,
    needs=("room.temperature", "trial.room_coldest", "trial.room_warmest"),
    good="room: {temperature: 17 to 23 °C}\nlog: {room_coldest: 17.5 °C, room_warmest: 22.5 °C}",
    bad="room: {temperature: 12 to 23 °C}\nlog: {room_coldest: 17.5 °C, room_warmest: 22.5 °C}",
)


def check(case: Case) -> Iterator[Finding]:
    """The coldest and the warmest three hours of the room against the plan's ends."""
    trial, room, show = case.trial, case.plan.room.temperature, case.show
    assert (
        room is not None and isinstance(trial.room_coldest, Figure) and isinstance(trial.room_warmest, Figure)
    )
    cold, warm = trial.room_coldest.value - room.low > NEAR, room.high - trial.room_warmest.value > NEAR
    if not cold and not warm:
        return
    ahead = _share_ahead(case, room.low) if cold else None
    told = ""
    if ahead is not None:
        told = f" In {show.temperature(room.low)} the heater would be on for {show.about_percent(*ahead)} of the time."
        if ahead[1] > 1.0:
            told = f" In {show.temperature(room.low)} the heater is too weak, by how long it was on."
    yield Finding(
        FIX if ahead is not None and ahead[0] > FULL else WATCH,
        f"The room was {show.temperature_range(trial.room_coldest.value, trial.room_warmest.value)} in the log; the plan says "
        f"{show.temperature_range(room.low, room.high)}.{told}",
        "room.temperature",
        RULE.remedy,
        figures=(("room_coldest", trial.room_coldest), ("room_warmest", trial.room_warmest)),
    )


def _share_ahead(case: Case, room: float) -> tuple[float, float, float] | None:
    """Share of the time that the heater would be on in that room: it grows with medium minus room."""
    trial = case.trial
    share, medium, now = trial.on_share, trial.medium, trial.room
    if not (isinstance(share, Figure) and isinstance(medium, Figure) and isinstance(now, Figure)):
        return None
    if medium.value - now.value < NEAR:
        return None
    times = (medium.value - room) / (medium.value - now.value)
    return share.value * times, share.low * times, share.high * times
