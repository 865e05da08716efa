"""Every dialect of one series reads to the same readings."""

from datetime import UTC
from pathlib import Path

import pytest

from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from tests.reading.logs.written import BOX, ROOM, TIMES, Dialect, dialects

ALL = list(dialects())
PLACES = {"T1": "egg box medium", "T2": "room"}
SECONDS = [time.replace(tzinfo=UTC).timestamp() for time in TIMES]


def test_there_are_many() -> None:
    assert len({dialect.text.encode(dialect.encoding) for dialect in ALL}) >= 60


@pytest.mark.parametrize("dialect", ALL, ids=lambda dialect: dialect.name)
def test_reads_to_the_same_readings(dialect: Dialect, tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_bytes(dialect.text.encode(dialect.encoding))
    log = read_log(path, Asked(PLACES, frozenset(PLACES), dialect.order))
    assert [sensor.place for sensor in log.sensors] == list(PLACES.values())
    for sensor, values in zip(log.sensors, (BOX, ROOM), strict=True):
        assert list(sensor.times) == SECONDS
        assert list(sensor.values) == pytest.approx(values, abs=0.006)  # °F are written to a hundredth
