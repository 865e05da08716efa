"""What a log with eggs inside tells: development so far, hatching, sexes, events."""
