"""One true series of two sensors, written in the ways of many loggers. All invented."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

FIRST = datetime(2027, 4, 12, 22, 0)
TIMES = [
    FIRST + timedelta(minutes=10 * place) for place in range(300)
]  # two days, over noon, midnight and the 13th
BOX = [round(28.0 + 0.1 * (place % 7), 1) for place in range(300)]  # °C, a tenth is written by all
ROOM = [round(17.5 + 0.5 * (place % 11), 1) for place in range(300)]


class Dialect(NamedTuple):
    """A way to write the series: name, text, encoding, what the keeper has to add."""

    name: str
    text: str
    encoding: str = "utf-8"
    order: str | None = None


FORMS = {
    "iso": "%Y-%m-%d %H:%M:%S",
    "iso-t": "%Y-%m-%dT%H:%M:%S",
    "iso-z": "%Y-%m-%dT%H:%M:%SZ",
    "iso-offset": "%Y-%m-%dT%H:%M:%S+02:00",
    "iso-minutes": "%Y-%m-%d %H:%M",
    "year-slashes": "%Y/%m/%d %H:%M:%S",
    "dots": "%d.%m.%Y %H:%M:%S",
    "dots-short": "%d.%m.%Y %H:%M",
    "day-first": "%d/%m/%Y %H:%M",
    "month-first": "%m/%d/%Y %H:%M:%S",
    "day-first-dashes": "%d-%m-%Y %H:%M",
    "twelve-hours": "%m/%d/%Y %I:%M:%S %p",
    "twelve-hours-dmy": "%d/%m/%Y %I:%M %p",
    "month-name": "%d %b %Y %H:%M",
    "month-name-dashes": "%d-%b-%Y %H:%M:%S",
    "month-name-first": "%b %d, %Y %H:%M:%S",
    "seconds-with-fraction": "%Y-%m-%d %H:%M:%S.000",
}
SIGNS = {
    "comma": (",", "."),
    "semicolon": (";", ","),
    "semicolon-point": (";", "."),
    "tab": ("\t", ","),
    "tab-point": ("\t", "."),
    "pipe": ("|", "."),
}


def number(value: float, point: str) -> str:
    return f"{value:.1f}".replace(".", point)


def table(form: str, sign: str, point: str, header: str = "Time{0}T1{0}T2", quote: str = "") -> str:
    rows = [header.format(sign)]
    for time, box, room in zip(TIMES, BOX, ROOM, strict=True):
        stamp = time.strftime(form)
        cells = [
            f'"{stamp}"' if sign in stamp else stamp,
            *(f"{quote}{number(value, point)}{quote}" for value in (box, room)),
        ]
        rows.append(sign.join(cells))
    return "\n".join(rows) + "\n"


def long_table(sign: str, point: str, head: str, unit: bool) -> str:
    rows = [head]
    for time, box, room in zip(TIMES, BOX, ROOM, strict=True):
        for name, value in (("T1", box), ("T2", room)):
            cells = [f"{time:%Y-%m-%d %H:%M}", name, number(value, point)] + (["°C"] if unit else [])
            rows.append(sign.join(cells))
    return "\n".join(rows) + "\n"


def dialects() -> Iterator[Dialect]:
    """All ways."""
    for form_name, form in FORMS.items():
        yield Dialect(f"{form_name}, comma", table(form, ",", "."))
        yield Dialect(f"{form_name}, semicolon and decimal comma", table(form, ";", ","))
    for name, (sign, point) in SIGNS.items():
        yield Dialect(f"{name} with units", table(FORMS["iso"], sign, point, "Time{0}T1 (°C){0}T2 (°C)"))
    plain = table(FORMS["iso"], ",", ".")
    comma = table(FORMS["dots"], ";", ",")
    for encoding in ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"):
        yield Dialect(f"in {encoding}", table(FORMS["dots"], ";", ",", "Zeit{0}T1 [°C]{0}T2 [°C]"), encoding)
    yield Dialect("in utf-16 with a mark, big end first", "\ufeff" + plain, "utf-16-be")
    yield Dialect("decimal commas in quotation marks", table(FORMS["iso"], ",", ",", quote='"'))
    yield Dialect("numbers in quotation marks", table(FORMS["iso"], ",", ".", quote='"'))
    yield Dialect("line ends of old", plain.replace("\n", "\r"))
    yield Dialect("line ends of two", plain.replace("\n", "\r\n"))
    yield Dialect(
        "lines before",
        "Logger export\nSerial: A-12, rev 3\nStart: 2027-04-12 22:00\nAlarm high;32,0\n\n" + comma,
    )
    yield Dialect("a line on the sign", "sep=;\n" + comma)
    yield Dialect("comments before", "# made by a logger\n# interval 600 s\n" + plain)
    yield Dialect("a row of units", plain.replace("T1,T2\n", "T1,T2\n,°C,°C\n", 1))
    yield Dialect("a row of units in brackets", plain.replace("T1,T2\n", "T1,T2\n(),(C),(C)\n", 1))
    yield Dialect("rows behind", plain + "\nMinimum,,28.0\nMaximum,,29\nEnd of data\n")
    yield Dialect("empty cells at the ends", plain.replace("\n", ",\n"))
    yield Dialect("spaces behind the commas", plain.replace(",", ", "))
    yield Dialect("no-break spaces", table(FORMS["iso"], ";", ",").replace(" ", "\u00a0"))
    yield Dialect(
        "the header again", plain.replace("\n2027-04-13 10:00:00", "\nTime,T1,T2\n2027-04-13 10:00:00")
    )
    yield Dialect(
        "units in the cells",
        "\n".join(
            line + (" °C" if line[0].isdigit() else "")
            for line in plain.replace(",2", " °C,2").replace("Time °C,", "Time,").splitlines()
        )
        .replace(" °C,28", ",28")
        .replace(" °C,29", ",29")
        + "\n",
    )
    yield Dialect(
        "numbered rows",
        "\n".join(
            f"{place},{line}" if place else f"No.,{line}" for place, line in enumerate(plain.splitlines())
        )
        + "\n",
    )
    yield Dialect(
        "date and clock apart",
        table("%Y-%m-%d,%H:%M:%S", "\0", ".", "Date{0}Clock{0}T1{0}T2").replace("\0", ","),
    )
    yield Dialect(
        "date and clock apart, dots",
        table("%d.%m.%Y;%H:%M", "\0", ",", "Datum{0}Uhrzeit{0}T1{0}T2").replace("\0", ";"),
    )
    yield Dialect(
        "date and twelve hours apart",
        table("%m/%d/%Y,%I:%M %p", "\0", ".", "Date{0}Time{0}T1{0}T2").replace("\0", ","),
    )
    yield Dialect(
        "another column between", plain.replace("Time,T1", "Time,RH (%),T1").replace(":00,2", ":00,55,2")
    )
    for name, times in (("seconds", 1), ("milliseconds", 1000)):
        rows = [
            f"{int(time.replace(tzinfo=UTC).timestamp()) * times},{box},{room}"
            for time, box, room in zip(TIMES, BOX, ROOM, strict=True)
        ]
        yield Dialect(f"{name} since 1970", "\n".join(["t,T1,T2", *rows]) + "\n")
    fahrenheit = [[round(value * 9 / 5 + 32, 2) for value in values] for values in (BOX, ROOM)]
    for header in (
        "Time,T1 (°F),T2 (°F)",
        "Time,T1 [F],T2 [F]",
        "Time,T1 ºF,T2 ºF",
        "Time,T1 deg F,T2 deg F",
        "Time,T1 ℉,T2 ℉",
        "Time,T1,T2",
    ):
        rows = [f"{time},{box},{room}" for time, box, room in zip(TIMES, *fahrenheit, strict=True)]
        yield Dialect(f"header {header}", "\n".join([header, *rows]) + "\n")
    kelvin = [
        f"{time},{box + 273.15:.2f},{room + 273.15:.2f}"
        for time, box, room in zip(TIMES, BOX, ROOM, strict=True)
    ]
    yield Dialect("kelvins", "\n".join(["Time,T1 (K),T2 (K)", *kelvin]) + "\n")
    yield Dialect("names in a column", long_table(",", ".", "time,sensor,value", False))
    yield Dialect("names and units in columns", long_table(";", ",", "time;name;value;unit", True))
    yield Dialect("names under a header of its own", long_table(",", ".", "when,which,what", False))
    yield Dialect(
        "newest first", "\n".join([plain.splitlines()[0], *reversed(plain.splitlines()[1:])]) + "\n"
    )
    yield Dialect(
        "two downloads, the later first",
        "\n".join([plain.splitlines()[0], *plain.splitlines()[150:], *plain.splitlines()[1:150]]) + "\n",
    )
    yield Dialect(
        "every row twice",
        "\n".join([plain.splitlines()[0], *(line for line in plain.splitlines()[1:] for _ in range(2))])
        + "\n",
    )
    yield Dialect("two-digit years, told", table("%d/%m/%y %H:%M", ",", "."), order="dmy")
    yield Dialect("two-digit years with dots", table("%d.%m.%y %H:%M", ";", ","), order="dmy")
    yield Dialect("dates told month first", table("%m/%d/%Y %H:%M", ",", "."), order="mdy")
