"""What a trial run's log tells of the box, beside its plan."""
