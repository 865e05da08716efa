"""clutch-advisor: checks a planned reptile-egg incubator before the eggs arrive."""

__version__ = "0.2.0"
