"""Heat, vapour and air of the set-up: SI numbers in, SI numbers out."""
