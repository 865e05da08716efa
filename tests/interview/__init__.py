"""interview."""
