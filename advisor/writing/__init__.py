"""From reports to screen, JSON and paper: lays out, computes nothing."""
