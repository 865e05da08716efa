"""Plain data that every part passes on: plans, species, figures, forecasts, findings."""
