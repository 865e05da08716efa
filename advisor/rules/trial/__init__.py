"""Rules for the log of a trial run, one module each: what the box did, held against what the eggs need."""
