"""The command `advisor`: knows the commands of `advisor.commands` by name."""

from collections import UserDict
from importlib import import_module
from typing import Any

import click

from advisor import __version__
from advisor.commands.common import guarded, inert, ready_for_any_text

# The module of each command, in `advisor.commands`.
MODULES = {
    "new": "new",
    "check": "check",
    "suggest": "suggest",
    "serve": "serve",
    "trial": "log",
    "follow": "log",
    "checklist": "papers",
    "cards": "papers",
    "calendar": "papers",
    "rules": "rules",
    "species": "species",
    "mix": "water",
    "weigh": "water",
    "lesson": "lesson",
}


class Commands(UserDict[str, Any]):
    """The commands by name; the module of one is opened when it is asked for, so that each starts without the others."""

    def __getitem__(self, name: str) -> Any:
        """The command."""
        return getattr(import_module(f"advisor.commands.{self.data[name]}"), name)


class Advisor(click.Group):
    """All commands; what fails before any of them runs (help on a full disk) is told like the rest."""

    @guarded
    def main(self, *args: Any, **kwargs: Any) -> Any:
        """As click's own."""
        return super().main(*args, **kwargs)

    def make_context(self, *args: Any, **kwargs: Any) -> click.Context:
        """As click's own; what a message repeats of the command line can't steer the terminal."""
        with inert():
            return super().make_context(*args, **kwargs)

    def invoke(self, ctx: click.Context) -> Any:
        """As click's own, the same held."""
        with inert():
            return super().invoke(ctx)


@click.group(
    cls=Advisor,
    commands=Commands(MODULES),
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, message="clutch-advisor %(version)s")
@click.pass_context
def main(context: click.Context) -> None:
    """Checks a planned reptile-egg incubator before the eggs arrive.

    \b
    Start with:  advisor check examples/first-season.yaml
    """
    ready_for_any_text(context)
