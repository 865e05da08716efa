"""The page of a species and the comparison of several, for screen and paper."""
