"""Options of the test run."""

import os

import pytest
from hypothesis import settings

# The same examples in every run: a run that fails by chance tells nobody what to mend. CLUTCH_ADVISOR_SEARCH=1 draws
# new ones, to look for faults on purpose.
settings.register_profile("same", derandomize=True, deadline=None)
settings.register_profile("search", max_examples=1000, deadline=None)
if settings.get_current_profile_name() != "mutation":
    settings.load_profile("search" if os.environ.get("CLUTCH_ADVISOR_SEARCH") else "same")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Adds the options that rewrite files with expected text."""
    parser.addoption("--update-messages", action="store_true", help="rewrite tests/input/*.txt")
