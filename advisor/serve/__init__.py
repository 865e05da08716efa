"""The advisor as a page on the keeper's own machine: shows what the other parts work out, and keeps plans in one folder."""
