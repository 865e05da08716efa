"""Times one warm forecast of examples/first-season.yaml beside a plain Python loop: not a test.

Run from the project folder: `python -m tests.bench.bench_heat`. Both run in one process, in turns, by processor time, so
that a busy machine slows them alike. The caches of geometries are warm, as they are from the second forecast on.
"""

import statistics
import time
from collections.abc import Callable

from advisor.assess import situation_for
from advisor.reading.plan import read_document
from advisor.reading.yaml_text import read_yaml
from tests.bench.fresh import fresh_forecast
from tests.support import ROOT

FIRST = ROOT / "examples" / "first-season.yaml"
GOAL = 15.0  # times the loop
ADDITIONS = 20_000
TURNS = 101


def loop() -> float:
    """The yardstick: additions of squares in plain Python."""
    total = 0.0
    for number in range(ADDITIONS):
        total += number * number
    return total


def milliseconds(run: Callable[[], object]) -> float:
    started = time.process_time()
    run()
    return 1e3 * (time.process_time() - started)


def main() -> None:
    """Prints the medians of both and of their ratio, turn by turn."""
    situation = situation_for(read_document(read_yaml(FIRST))[0])

    def forecast() -> object:
        return fresh_forecast(situation)

    for _ in range(3):
        forecast()
    turns = [(milliseconds(forecast), milliseconds(loop)) for _ in range(TURNS)]
    ours, theirs = (statistics.median(column) for column in zip(*turns, strict=True))
    ratio = statistics.median(one / other for one, other in turns)
    met = "met" if ratio <= GOAL else "MISSED"
    print(f"forecast {ours:.1f} ms, loop {theirs:.2f} ms, ratio {ratio:.1f}; goal {GOAL:.0f}: {met}")


if __name__ == "__main__":
    main()
