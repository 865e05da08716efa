"""The saw-tooth of a thermostat in air: its cycle and the share of it in which the air rises."""

import itertools
import statistics

from advisor.formulas.logs.means import Course, running_means

_AROUND = 3 * 3600.0  # s over which the running mean is taken
_TURN = 0.2  # of the swing that a rise has to pass the mean by; so that noise makes no cycles
_LEAST_CYCLES = 5
_READINGS_A_CYCLE = 6


def rising_share(course: Course, interval: float, swing: float) -> tuple[float, float] | None:
    """Median cycle [s] and the share of it in which the temperature rises; None where no cycle is seen.

    course: temperatures of air or of the heater [°C]; interval [s], its usual step; swing [K], its usual swing, well
    above the sensor's noise. A slow sensor pulls the share toward one half: of a 20-min cycle with a heater on for 0.30 of
    it, a sensor of 90 s in air of 25 min rises for 0.354 of it, one of 240 s for 0.417.
    """
    mean = dict(running_means(course, _AROUND))
    marks = [(time, value - mean[time], value) for time, value in course if time in mean]
    rises, low = [], False
    for time, over, _ in marks:
        if over < -_TURN * swing:
            low = True
        elif low and over > _TURN * swing:
            rises.append(time)
            low = False
    if len(rises) <= _LEAST_CYCLES:
        return None
    cycle = statistics.median(after - before for before, after in itertools.pairwise(rises))
    if interval > cycle / _READINGS_A_CYCLE:
        return None
    peaks = [
        max((value, time) for time, _, value in marks if begin <= time < end)[1]
        for begin, end in itertools.pairwise(rises[:200])
    ]
    shares = []
    for before, after in itertools.pairwise(peaks):
        if after - before > 1.5 * cycle:
            continue
        lowest = min((value, time) for time, _, value in marks if before <= time <= after)[1]
        shares.append((after - lowest) / (after - before))
    return (cycle, statistics.median(shares)) if len(shares) >= _LEAST_CYCLES - 1 else None
