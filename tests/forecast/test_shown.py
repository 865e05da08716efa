"""Forecast numbers as they are shown: no finer than they are known, with their range, in the keeper's units."""

import itertools

import pytest

from advisor.show import Show

METRIC, US = Show(), Show("us")
GRAM_A_DAY = 1e-3 / 86400  # kg/s


@pytest.mark.parametrize(
    ("shown", "expected"),
    [
        # Never finer than half a degree, what a home thermometer knows (judgement); a °F is a little more (0.56 K).
        (METRIC.about_temperature(35.63, 33.2, 36.9), "about 35.5 °C (33 to 37)"),
        (US.about_temperature(35.63, 33.2, 36.9), "about 96 °F (92 to 98)"),
        (METRIC.about_temperature(30.1, 30.1, 30.1), "about 30 °C"),
        (US.temperature_range(200.0, 350.0), "390 to 660 °F"),  # a bulb; 392 to 662 would say too much
        # docs/limits.md: past 100 °C no figure is told.
        (METRIC.about_temperature(203.0, 176.0, 230.0), "more than 100 °C"),
        (US.about_temperature(203.0, 176.0, 230.0), "more than 212 °F"),
        # A step is not a temperature: 1 K is 1.8 °F.
        (METRIC.about_step(0.37, 0.2, 0.52), "about 0.4 °C (0.2 to 0.5)"),
        (METRIC.about_step(1.69, 0.87, 2.16), "about 1.5 °C (0.9 to 2)"),
        (US.about_step(1.0, 0.5, 1.5), "about 2 °F (0.9 to 2.5)"),
        # Condensation: one digit. 1 tsp is 4.929 ml (231 cubic inches in 768 tsp), 1 oz is 28.35 g.
        (METRIC.about_water_a_day(1.34 * GRAM_A_DAY, 0.67 * GRAM_A_DAY, 2.7 * GRAM_A_DAY), "about 1 g a day (0.7 to 3)"),
        (US.about_water_a_day(2 * GRAM_A_DAY, GRAM_A_DAY, 4 * GRAM_A_DAY), "about 0.4 tsp a day (0.2 to 0.8)"),
        (US.about_water_a_day(105 * GRAM_A_DAY, 52 * GRAM_A_DAY, 210 * GRAM_A_DAY), "about 4 oz a day (2 to 7)"),
        (METRIC.about_water_a_day(0.0, 0.0, 0.0), "0 g a day"),
        (US.about_water_a_day(0.0, 0.0, 0.0), "0 tsp a day"),
        (METRIC.about_water_a_day(0.04 * GRAM_A_DAY, 0.0, 0.2 * GRAM_A_DAY), "about 0 g a day (0 to 0.2)"),
        (METRIC.about_power(11.96, 9.52, 13.8), "about 12 W (9.5 to 14)"),
        (METRIC.about_percent(0.804, 0.634, 1.02), "about 80 % (63 to 100)"),
        (METRIC.about_hours(5127, 3772, 6977), "about 1.4 h (1 to 1.9)"),
        (METRIC.about_hours(90_000, 70_000, 120_000), "about 25 h (19 to 33)"),
        (METRIC.about_hours(2400, 1500, 3900), "about 40 minutes (25 to 65)"),
        (METRIC.about("days", 1.2, 0.6, 3.2), "about 1 day (1 to 3)"),
        (METRIC.about("days", 58.0, 23.0, 91.0), "about 58 days (23 to 91)"),
        # Drills and rulers come in parts of an inch: 2 mm = 0.0787 in, 5/64 = 0.0781; 1 cm = 0.394 in, 3/8 = 0.375.
        (US.length(0.002), "5/64 in"),
        (US.length(0.003), "1/8 in"),
        (US.length(0.010), "3/8 in"),
        (US.length(0.0254), "1 in"),
        (US.length(0.0381), "1.5 in"),
        (US.length(0.0001), "0.0039 in"),
        (US.length_range(0.005, 0.02), "3/16 to 3/4 in"),
        (METRIC.length(0.002), "2 mm"),
        # What is known to a quarter: 58 minutes are an hour, 1.6 h are 1.5 h.
        (METRIC.roughly(58 * 60), "an hour"),
        (METRIC.roughly(1.6 * 3600), "1.5 h"),
        (METRIC.roughly(11 * 60), "10 minutes"),
        (METRIC.roughly(70), "a minute"),
        (METRIC.roughly(11.4 * 3600), "11 h"),
        # A range of 1.1 g/g or 190 days bears no finer middle.
        (METRIC.about("water content", 0.39, 0.0, 1.1), "about 0.4 g/g (0 to 1.1)"),
        (METRIC.about("water content", 0.12, 0.1, 0.14), "about 0.12 g/g (0.1 to 0.14)"),
        (METRIC.about("water content", 0.91, 0.86, 0.95), "about 0.91 g/g (0.86 to 0.95)"),
        (METRIC.about("days", 192, 72, 265), "about 190 days (70 to 260)"),
        (METRIC.about("days", 60, 49, 75), "about 60 days (49 to 75)"),
        (METRIC.about("days", 148, 101, 201), "about 150 days (100 to 200)"),
        (METRIC.about("days", 148, 102, 201), "about 148 days (102 to 201)"),
        # A mass whose range is a tenth of it is told to three digits, one that is known less well to two.
        (METRIC.about_mass(1.0, 0.951, 1.05), "about 1 kg (0.951 to 1.05)"),
        (METRIC.about_mass(1.0, 0.946, 1.056), "about 1 kg (0.95 to 1.1)"),
        # Texts that name both systems tell a keeper the own one.
        (METRIC.own_units("Above 60 °C (140 °F) it melts."), "Above 60 °C it melts."),
        (US.own_units("Set it 1.5 to 2 °C (3 to 4 °F) higher, holes of 2 mm (about 1/16 in)."),
         "Set it 3 to 4 °F higher, holes of about 1/16 in."),
        (US.own_units("Look 12 days (2 weeks) later."), "Look 12 days (2 weeks) later."),
    ],
    ids=itertools.count(),  # a name that holds what is shown would change with it, and no run of mutants would find it
)  # fmt: skip
def test_shown(shown: str, expected: str) -> None:
    assert shown == expected
