"""The club-night pack: a sound plan for a species, faults planted in it, and the pages a host needs."""

MOST_SEED = 999_999  # a number that can be called across a room
