"""Heat, air, water, days and sexes: SI numbers in, SI numbers out."""
