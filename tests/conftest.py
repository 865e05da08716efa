"""Options of the test run."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Adds the options that rewrite files with expected text."""
    parser.addoption("--update-messages", action="store_true", help="rewrite tests/input/*.txt")
