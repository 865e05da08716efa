"""The commands, a module for each group; `advisor.cli` registers them. Heavy imports stay inside the functions."""
