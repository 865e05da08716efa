"""The club-night pack: a sound plan for a species, faults planted in it, and the pages a host needs."""
