"""A trial run's log beside its plan: all that the log tells of the box."""

from advisor.forecast.trial import told
from advisor.forecast.trial.courses import Courses
from advisor.forecast.trial.loss import losses
from advisor.model.forecast import HeatForecast
from advisor.model.plan import Plan
from advisor.model.trial import Trial


def trial_of(plan: Plan, forecast: HeatForecast, courses: Courses) -> Trial:
    """What a log tells of the box of a plan; what it can't tell is an `Unknown` with its reason."""
    return Trial(
        start=courses.start,
        end=courses.end,
        steady=told.steady_length(courses),
        settled_after=told.settled_after(courses),
        never_settles=told.never_settles(courses),
        sensors=tuple(told.sensor_told(place, courses) for place in courses.places if place.course),
        medium=told.medium_mean(courses),
        coldest=told.extreme(courses, min),
        warmest=told.extreme(courses, max),
        swing=told.swing(courses),
        daily_swing=told.swing_by_day(courses),
        spread=told.spread(courses),
        drift=told.drift(courses),
        overshoot=told.overshoot(courses),
        warm_up=told.warm_up(courses),
        room=told.room_mean(courses),
        room_coldest=told.room_extreme(courses, min),
        room_warmest=told.room_extreme(courses, max),
        stuck=told.stuck(courses),
        **losses(courses, plan, forecast),
    )
