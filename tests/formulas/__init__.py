"""formulas."""
