"""What a trial run's log measured that a plan can hold under `measured`."""

from advisor.forecast.trial.courses import Courses, SensorCourse, off_times
from advisor.formulas.logs.loss import LEAST_DIFFERENCE
from advisor.formulas.logs.means import Course, weighted_mean
from advisor.model.figures import Figure
from advisor.model.logs import EGG_MEDIUM, HEATER_ON, HEATER_POWER
from advisor.model.measured import HeaterOn, Measured, MeasuredMedium, SwitchedOff, WarmUp
from advisor.model.plan import Plan
from advisor.model.trial import Trial

LEAST_SHARE, MOST_SHARE = 0.05, 0.95  # of time that the heater is on; past them it tells nothing; judgement
LEAST_SWING = 0.05  # K, below which the sensor's step hides it; judgement
SHORTEST_OFF, LONGEST_OFF = 1800.0, 48 * 3600.0  # s that the format takes
TAIL = 300.0  # s either side of the end, whose mean is the medium then; judgement


def taken_from(trial: Trial, courses: Courses, plan: Plan) -> Measured:
    """The entries that this log gives; the others stay as they are.

    Without the room nothing of the heat can be told. Which kind of egg box a sensor lies in is known only where the plan
    has one kind, in one layer.
    """
    return Measured(
        heater_on=_heater_on(trial, courses),
        switched_off=_switched_off(courses),
        warm_up=_warm_up(trial, courses),
        boxes=_boxes(courses.at(EGG_MEDIUM), plan),
        swing=trial.swing.value if isinstance(trial.swing, Figure) and trial.swing.value >= LEAST_SWING else None,
    )  # fmt: skip


def _heater_on(trial: Trial, courses: Courses) -> tuple[HeaterOn, ...]:
    """The logged share of the settled time; one read off a saw-tooth is no better than a tenth, and is not written."""
    share, room, medium = trial.on_share, trial.room, trial.medium
    if not courses.at(HEATER_ON, HEATER_POWER):
        return ()
    if not isinstance(share, Figure) or not isinstance(room, Figure) or not isinstance(medium, Figure):
        return ()
    if not LEAST_SHARE <= share.value <= MOST_SHARE or medium.value - room.value < LEAST_DIFFERENCE:
        return ()
    return (HeaterOn(share.value, trial.steady.value * 86_400, room.value, medium.value),)


def _mean(course: Course, begin: float, end: float) -> float | None:
    """Mean from `begin` to `end` [s]; None where nothing was read."""
    part = [entry for entry in course if begin <= entry[0] <= end]
    return weighted_mean(part) if part else None


def _switched_off(courses: Courses) -> SwitchedOff | None:
    """The last spell without heat, where heater or air tell when it began and ended: the medium tells it too late."""
    fall = courses.switched_off
    times = None if fall is None else off_times(courses, fall)
    if times is None or not SHORTEST_OFF <= times[1] - times[0] <= LONGEST_OFF:
        return None
    room, *ends = (
        _mean(course, begin, end)
        for course, begin, end in (
            (courses.room.course if courses.room is not None else (), *times),
            *((courses.eggs[0].course, time - TAIL, time + TAIL) for time in times),
        )
    )
    first, low = ends
    if room is None or first is None or low is None or low - room < LEAST_DIFFERENCE or low >= first:
        return None
    return SwitchedOff(first, low, times[1] - times[0], room)


def _warm_up(trial: Trial, courses: Courses) -> WarmUp | None:
    if not isinstance(trial.warm_up, Figure):
        return None
    course = courses.room.course if courses.room is not None else ()
    room = _mean(course, courses.start, courses.start + trial.warm_up.value)
    return None if room is None else WarmUp(trial.warm_up.value, room)


def _boxes(places: tuple[SensorCourse, ...], plan: Plan) -> tuple[MeasuredMedium, ...]:
    kinds = [box for box in plan.egg_boxes if box.holds != "probe"]
    if len(places) < 2 or len(kinds) != 1 or kinds[0].stacked:
        return ()
    return tuple(
        MeasuredMedium(kinds[0].name, place.sensor.name, weighted_mean(place.steady), thermometer=place.sensor.name)
        for place in places
    )  # fmt: skip
