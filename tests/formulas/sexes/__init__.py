"""sexes."""
