"""clutch."""
