"""What was measured, joined with what is forecast."""
