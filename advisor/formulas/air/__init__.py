"""Moist air, ways out of a box, and the breath of eggs."""
