"""Broken logs and their exact messages: line, column, what is wrong, what to do."""

from pathlib import Path

import pytest

from advisor.reading.logs.columns import Asked
from advisor.reading.logs.readings import read_log
from advisor.reading.problems import InputError, problem_lines

PLACES = {"T1": "egg box medium", "T2": "room"}
ROWS = "".join(f"2027-04-20 {hour:02}:00,28.1,20.3\n" for hour in range(20))
HEAD = "Time,T1 (C),T2 (C)\n"
EXPECTED = "    Expected are rows like 2027-04-20 18:00,28.5 with commas, semicolons or tabs between. Save the log as CSV with date and time. One that counts from its start needs --starts."
EXPORT = "    Export the log with semicolons between the cells, or with decimal points and a header."
SAVE = "    Open it in the program it comes from and save it as CSV (text, one row a reading)."

CASES: dict[str, tuple[bytes | str, str]] = {
    "empty": (" \n", "log.csv: the file is empty\n    Export the log again."),
    "a spreadsheet": (b"PK\x03\x04rest", f"log.csv: is a spreadsheet or an archive, not text\n{SAVE}"),
    "a picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\1\0", f"log.csv: is not text\n{SAVE}"),
    "prose": ("Dear keeper,\nthe box ran well.\n", f"log.csv:1:1: no row of a date, a time and a number was found; this line reads 'Dear keeper,'\n{EXPECTED}"),
    "no times": ("No,T1\n1,28.1\n2,28.2\n", f"log.csv:3:1: no row of a date, a time and a number was found; this line reads '2,28.2'\n{EXPECTED}"),
    "clock only": ("Time,T1\n18:00,28.10\n18:10,28.20\n", f"log.csv:3:1: no row of a date, a time and a number was found; this line reads '18:10,28.20'\n{EXPECTED}"),
    "one row": (HEAD + "2027-04-20 18:00,28.1,20.3\n", "log.csv:2:1: only one row has a date and a time\n    A log needs many."),
    "one time": (HEAD + "2027-04-20 18:00,28.1,20.3\n" * 3, "log.csv:2:1: all rows have the same time\n    Export the log with the time of each reading."),
    "either order": (HEAD + ROWS.replace("2027-04-20", "03/07/2027"), "log.csv:2:1: the date '03/07/2027' can be read in more than one way\n    Add --dates dmy or --dates mdy (d day, m month, y year)."),
    "two digits of the year": (HEAD + ROWS.replace("2027-04-20", "03-07-05"), "log.csv:2:1: the date '03-07-05' can be read in more than one way\n    Add --dates dmy or --dates mdy or --dates ymd (d day, m month, y year)."),
    "both orders": (HEAD + ROWS.replace("2027-04-20", "13/07/2027") + ROWS.replace("2027-04-20", "07/13/2027"), "log.csv:2:1: the log writes some dates day first and some month first\n    Export it again with one form of dates, best 2027-04-20."),
    "twelve hours": (HEAD + "".join(f"2027-04-{day} {hour % 12 or 12}:00,28.1,20.3\n" for day in range(20, 25) for hour in range(24)), "log.csv:2:1: the clock never passes 12:59, and no AM or PM tells the half of the day\n    Export the log with a 24-hour clock, or with AM and PM."),
    "clock set back": (HEAD + ROWS + ROWS.replace("2027", "2000"), "log.csv:22:1: the time jumps from 2027-04-20 19:00 to 2000-04-20 00:00\n    The logger's clock was set back. Keep one of the two parts in a copy of the log."),
    "open quotation mark": (HEAD + ROWS + '2027-04-20 20:00,"28.1,20.3\n' + ROWS.replace("-20", "-21"), 'log.csv:22:2: a quotation mark opens in cell 2 and does not close on its line\n    Close it, or take it out, in a copy of the log.'),
    "no such sensor": (HEAD.replace("T2", "Room") + ROWS, "log.csv:1:1: there is no sensor 'T2' in the log\n    Sensors here: T1, Room."),
    "humidity": (HEAD.replace("T2 (C)", "T2 (%RH)") + ROWS, "log.csv:1:3: 'T2 (%RH)' is no temperature, and has the place 'room'\n    Name the column of the temperature."),
    "unit untold": ("Time,T1,T2\n" + ROWS.replace("28.1", "55.0"), "log.csv:1:1: T1 reads 55 in the middle: no unit is written, and neither °C nor °F fits a box\n    Add --degrees C or --degrees F, or name another column."),
    "two units": ("Time,T1,T2\n" + ROWS.replace("28.1", "28.1 °C") + ROWS.replace("28.1", "82.6 °F").replace("-20", "-21"), "log.csv:22:2: two units of temperature stand in one column\n    Export the log in °C."),
    "commas of two kinds": (ROWS.replace("28.1", "28,1").replace("20.3", "20,3"), f"log.csv:1:1: there is no header, and commas may part the cells or be decimal commas\n{EXPORT}"),
    "decimal commas under a header": (HEAD + ROWS.replace("28.1", "28,1").replace("20.3", "20,3"), f"log.csv:2:1: the rows have 5 cells and the header 3: a comma may be a decimal comma\n{EXPORT}"),
    "endless line": (HEAD + "x" * 30_000 + "\n" + ROWS, f"log.csv: a line is longer than 20000 characters\n{SAVE}"),
    "all codes": (HEAD.replace("\n", ",T3\n") + ROWS.replace("28.1", "nan").replace("20.3", "---,21.0"), "log.csv:2:1: no named sensor has a reading\n    Name other columns with --sensor."),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_message(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    content, message = CASES[name]
    monkeypatch.chdir(tmp_path)
    Path("log.csv").write_bytes(content if isinstance(content, bytes) else content.encode())
    with pytest.raises(InputError) as caught:
        read_log(Path("log.csv"), Asked(PLACES, frozenset(PLACES)))
    assert "\n".join(problem_lines(caught.value.problems)) == message


def test_order_that_cannot_be(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + ROWS.replace("2027-04-20", "20/04/2027"))
    with pytest.raises(InputError, match=r"1 problem") as caught:
        read_log(path, Asked(PLACES, order="mdy"))
    assert "--dates mdy cannot be: '20/04/2027' is then no day" in caught.value.problems[0].message


def test_no_place_at_all_lists_the_sensors(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text(HEAD + ROWS)
    with pytest.raises(InputError) as caught:
        read_log(path, Asked({}))
    assert "Sensors here: T1, T2." in caught.value.problems[0].hint


def test_folder_and_missing_file(tmp_path: Path) -> None:
    for path, words in ((tmp_path, "is a folder"), (tmp_path / "none.csv", "there is no such file")):
        with pytest.raises(InputError) as caught:
            read_log(path, Asked(PLACES))
        assert words in caught.value.problems[0].message
