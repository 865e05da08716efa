"""One clutch: days, sexes, dates."""
