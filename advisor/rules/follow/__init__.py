"""Rules on a log with eggs inside."""
