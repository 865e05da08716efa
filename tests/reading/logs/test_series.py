"""Clock changes, gaps, doubles, error codes: what is kept, and that all that is not is counted."""

import itertools
from pathlib import Path

import pytest

from advisor.model.logs import Log
from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.problems import InputError

PLACES = {"T1": "egg box medium"}


def read(tmp_path: Path, rows: list[str], places: dict[str, str] = PLACES) -> Log:
    path = tmp_path / "log.csv"
    path.write_text("\n".join(["Time,T1 (C)", *rows]) + "\n")
    return read_log(path, Asked(places, frozenset(places)))


def steps(log: Log) -> set[float]:
    times = log.sensors[0].times
    return {after - before for before, after in itertools.pairwise(times)}


def left(log: Log) -> dict[str, tuple[int, int]]:
    return {one.why: (one.count, one.first_line) for one in log.left_out}


# 2027-03-28 and 2027-10-31 are the days on which the clocks of the European Union change.
def test_lost_hour_is_no_gap(tmp_path: Path) -> None:
    rows = [
        f"2027-03-28 {hour:02}:{minute:02},28.1" for hour in (0, 1, 3, 4, 5) for minute in range(0, 60, 10)
    ]
    log = read(tmp_path, rows)
    assert steps(log) == {600.0}
    assert log.notes == ("The clock goes forward after 2027-03-28 01:50: the lost hour is no gap.",)


def test_doubled_hour_is_kept_whole(tmp_path: Path) -> None:
    rows = [
        f"2027-10-31 {hour:02}:{minute:02},28.{hour}"
        for hour in (0, 1, 2, 2, 3, 4)
        for minute in range(0, 60, 10)
    ]
    log = read(tmp_path, rows)
    assert steps(log) == {600.0}
    assert len(log.sensors[0].times) == 36
    assert log.left_out == ()
    assert log.notes == ("The clock goes back after 2027-10-31 02:50: the doubled hour is kept.",)


def test_doubled_hour_newest_first(tmp_path: Path) -> None:
    rows = [
        f"2027-10-31 {hour:02}:{minute:02},28.{hour}"
        for hour in (0, 1, 2, 2, 3, 4)
        for minute in range(0, 60, 10)
    ]
    log = read(tmp_path, rows[::-1])
    assert steps(log) == {600.0}
    assert list(log.sensors[0].values)[:6] == [28.0] * 6


def test_an_hour_without_readings_by_day_stays_a_gap(tmp_path: Path) -> None:
    rows = [
        f"2027-03-28 {hour:02}:{minute:02},28.1" for hour in (11, 12, 14, 15) for minute in range(0, 60, 10)
    ]
    log = read(tmp_path, rows)
    assert steps(log) == {600.0, 4200.0}
    assert log.notes == ("T1 has a gap of 1.2 h from 2027-03-28 12:50 on.",)


def test_offsets_are_used(tmp_path: Path) -> None:
    rows = [f"2027-10-31T02:{minute:02}:00+02:00,28.1" for minute in (0, 30)] + [
        f"2027-10-31T02:{minute:02}:00+01:00,28.1" for minute in (0, 30)
    ]
    assert steps(read(tmp_path, rows)) == {1800.0}


def test_doubles_and_order_are_told(tmp_path: Path) -> None:
    rows = [
        "2027-04-20 10:00,28.1",
        "2027-04-20 10:10,28.2",
        "2027-04-20 10:10,28.2",
        "2027-04-20 10:10,29.0",
        "2027-04-20 10:05,28.3",
        "2027-04-20 10:20,28.4",
    ]
    log = read(tmp_path, rows)
    assert list(log.sensors[0].values) == [28.1, 28.3, 28.2, 28.4]
    assert left(log) == {
        "T1: the same reading twice": (1, 4),
        "T1: a second, other reading of the same time": (1, 5),
    }
    assert log.notes == ("1 row stands after a later one, the first on line 6: sorted by time.",)


@pytest.mark.parametrize("code", ["85.0", "85", "-127.0", "-127", "999.9", "0.0", "-55.0", "3276.7"])
def test_error_codes_are_counted(tmp_path: Path, code: str) -> None:
    values = ["28.1", code, code, "28.2", "28.1", code]
    log = read(tmp_path, [f"2027-04-20 10:{place:02},{value}" for place, value in enumerate(values)])
    assert list(log.sensors[0].values) == [28.1, 28.2, 28.1]
    assert left(log) == {f"T1: {float(code):g} °C, an error code of the sensor": (3, 3)}


def test_a_climb_to_85_is_fire_and_no_code(tmp_path: Path) -> None:
    values = ["28.0", "45.0", "60.0", "72.0", "80.0", "85.0", "88.0"]
    log = read(tmp_path, [f"2027-04-20 10:{place:02},{value}" for place, value in enumerate(values)])
    assert [f"{value:.1f}" for value in log.sensors[0].values] == values


@pytest.mark.parametrize(
    "word", ["", "NaN", "--", "n/a", "N/A", "null", "Error", "#N/A", "OPEN", "****", "no sensor"]
)
def test_words_for_no_value(tmp_path: Path, word: str) -> None:
    rows = [f"2027-04-20 10:{place:02},28.1" for place in range(20)]
    rows[7] = f"2027-04-20 10:07,{word}"
    log = read(tmp_path, rows)
    assert len(log.sensors[0].values) == 19
    assert left(log) == {"T1: no value": (1, 9)}


def test_all_that_is_left_out_is_counted(tmp_path: Path) -> None:
    rows = [f"2027-04-20 10:{place:02},28.1" for place in range(40)]
    rows[3:3] = [
        "# battery changed",
        "Time,T1 (C)",
        "something,else",
        "2027-04-20 10:03,abc",
        "2027-04-20 10:03,28.1,7",
        "2027-04-20 10:03,400",
    ]
    rows.append("2027-04-20 1")
    log = read(tmp_path, rows)
    assert log.rows == 42
    assert left(log) == {
        "a comment": (1, 5),
        "the header again": (1, 6),
        "no date and time": (2, 7),
        "T1: no number, such as 'abc'": (1, 8),
        "more cells than the header has": (1, 9),
        "T1: no temperature of a box": (1, 10),
    }


def test_a_heater_may_be_told_in_words_shares_or_percent(tmp_path: Path) -> None:
    for cells, values in (
        (("on", "off"), [1.0, 0.0]),
        (("1", "0"), [1.0, 0.0]),
        (("0.4", "0.6"), [0.4, 0.6]),
        (("40", "60 %"), [0.4, 0.6]),
    ):
        path = tmp_path / "log.csv"
        path.write_text(
            "Time,T1 (C),Heater\n"
            + "".join(f"2027-04-20 10:{place:02},28.1,{cell}\n" for place, cell in enumerate(cells))
        )
        log = read_log(path, Asked({"Heater": "heater on"}))
        assert list(log.sensors[0].values) == pytest.approx(values)


def test_many_missing_readings_are_told(tmp_path: Path) -> None:
    rows = [f"2027-04-20 10:{place:02},{'' if place % 4 else 28.1}" for place in range(20)]
    assert read(tmp_path, rows).notes == ("T1 lacks 15 of 20 readings: check its plug.",)


@pytest.mark.parametrize(
    ("header", "step", "sign"),
    [("Elapsed (s)", 600.0, ","), ("Time [min]", 10.0, ","), ("hours", 1 / 6, ","), ("t/s", 600.0, ";")],
)
def test_a_log_that_counts_from_its_start(header: str, step: float, sign: str, tmp_path: Path) -> None:
    rows = [f"{place * step:g}{sign}{28 + place / 10:.1f}" for place in range(7)]
    path = tmp_path / "log.csv"
    path.write_text("\n".join([f"{header}{sign}T1", *rows]) + "\n", "utf-8")
    starts = 1_808_244_000.0  # 2027-04-20 18:00
    log = read_log(path, Asked({"T1": "egg box medium"}, starts=starts))
    (sensor,) = log.sensors
    # A sixth of an hour is written to six digits.
    assert [time - starts for time in sensor.times] == pytest.approx(
        [600.0 * place for place in range(7)], abs=0.01
    )
    assert list(sensor.values) == [28.0, 28.1, 28.2, 28.3, 28.4, 28.5, 28.6]
    assert log.notes == ()
    with pytest.raises(InputError):
        read_log(path, Asked({"T1": "egg box medium"}))


def test_a_count_without_a_unit_is_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("Time,T1\n0,28.1\n600,28.2\n", "utf-8")
    with pytest.raises(InputError) as caught:
        read_log(path, Asked({"T1": "egg box medium"}, starts=0.0))
    (told,) = caught.value.problems
    assert (told.line, told.message) == (1, "the first column, 'Time', does not tell its unit")
