"""Pictures for the papers: pure functions from a plan and its figures to a `Drawing`, and from there to inline SVG."""
